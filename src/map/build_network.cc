#include "map/build_network.h"

#include <algorithm>
#include <map>
#include <set>

namespace lastreach {
namespace {

struct Piece {
  uint32_t line = 0;
  double from_m = 0;
  double to_m = 0;
  uint32_t from = 0;  // roots
  uint32_t to = 0;
  int number = 1;    // of its line, from 1
  bool only = true;  // the line has no other
  double length_m() const { return to_m - from_m; }
};

// Lines that touch at a sharp angle share a few centimetres; nobody needs to hear of that.
constexpr double kWorthSaying_m = 0.5;

constexpr uint32_t kHalfWay = ~uint32_t{0};  // stands for the node added in a piece that comes back

std::vector<Piece> PiecesOf(const Noding& noding) {
  std::vector<Piece> pieces;
  for (uint32_t line = 0; line < noding.lines().size(); ++line) {
    const auto cuts = noding.CutsOf(line);
    const size_t first = pieces.size();
    const auto add = [&](double from_m, double to_m, uint32_t from, uint32_t to) {
      pieces.push_back({line, from_m, to_m, from, to, static_cast<int>(pieces.size() - first) + 1, false});
    };
    for (size_t i = 1; i < cuts.size(); ++i) {
      const uint32_t from = noding.Root(cuts[i - 1].node);
      const uint32_t to = noding.Root(cuts[i].node);
      const double from_m = cuts[i - 1].along_m;
      const double to_m = cuts[i].along_m;
      if (from != to) {
        add(from_m, to_m, from, to);
      } else if (to_m - from_m > 2 * noding.same_point_m()) {
        add(from_m, (from_m + to_m) / 2, from, kHalfWay);
        add((from_m + to_m) / 2, to_m, kHalfWay, to);
      }
    }
    if (pieces.size() == first + 1) pieces.back().only = true;
  }
  return pieces;
}

class Builder {
 public:
  Builder(const Noding& noding, const Drawing& drawing, const Plane& plane)
      : noding_(noding), drawing_(drawing), plane_(plane), pieces_(PiecesOf(noding)) {
    std::map<std::string, std::string> layer_of;
    for (const DrawnMain& main : drawing.mains) {
      const auto [found, is_new] = layer_of.emplace(main.key.key, main.key.layer);
      if (!is_new && found->second != main.key.layer) in_two_layers_.insert(main.key.key);
    }
  }

  BuiltNetwork Run() {
    DropTwins();
    for (const auto& [keys, twin] : twins_) {
      if (twin.length_m > kWorthSaying_m) built_.set_aside.push_back(twin);
    }
    NumberNodes();
    for (const Piece& piece : pieces_) AddLink(piece);
    return std::move(built_);
  }

 private:
  const DrawnMain& MainOf(const Piece& piece) const {
    return drawing_.mains[noding_.lines()[piece.line].main];
  }
  std::vector<PlanePoint> CourseOf(const Piece& piece) const {
    return PieceOf(noding_.lines()[piece.line], piece.from_m, piece.to_m);
  }

  // How much the piece's main tells; of equal ones the lower key stays.
  auto Tells(const Piece& piece) const {
    const DrawnMain& main = MainOf(piece);
    const int told = (main.diameter ? 4 : 0) + (main.material.empty() ? 0 : 2) + (main.year_laid ? 1 : 0);
    return std::tuple(-told, main.key, piece.number);
  }

  void DropTwins() {
    std::map<std::pair<uint32_t, uint32_t>, std::vector<size_t>> between;
    for (size_t i = 0; i < pieces_.size(); ++i) {
      if (pieces_[i].from == kHalfWay || pieces_[i].to == kHalfWay) continue;
      between[std::minmax(pieces_[i].from, pieces_[i].to)].push_back(i);
    }
    std::vector<bool> dropped(pieces_.size(), false);
    for (auto& [nodes, between_them] : between) {
      std::sort(between_them.begin(), between_them.end(),
                [&](size_t a, size_t b) { return Tells(pieces_[a]) < Tells(pieces_[b]); });
      for (size_t j = 1; j < between_them.size(); ++j) {
        for (size_t k = 0; k < j && !dropped[between_them[j]]; ++k) {
          if (!dropped[between_them[k]]) DropIfTwin(between_them[j], between_them[k], dropped);
        }
      }
    }
    std::vector<Piece> kept;
    for (size_t i = 0; i < pieces_.size(); ++i) {
      if (!dropped[i]) kept.push_back(pieces_[i]);
    }
    pieces_ = std::move(kept);
  }

  void DropIfTwin(size_t less, size_t more, std::vector<bool>& dropped) {
    const auto course = CourseOf(pieces_[less]);
    if (GreatestDistance_m(course, CourseOf(pieces_[more])) > 2 * noding_.same_point_m()) return;
    dropped[less] = true;
    const FeatureKey& one = MainOf(pieces_[less]).key;
    const FeatureKey& other = MainOf(pieces_[more]).key;
    SetAside& twin = twins_[{one, other}];
    if (twin.length_m == 0) {
      const std::string what = one == other ? "it is drawn back over itself"
                                            : "a piece of it is drawn twice: the same as " + other.key;
      twin = {one, what, 0, plane_.From(course[course.size() / 2])};
    }
    twin.length_m += pieces_[less].length_m();
  }

  void NumberNodes() {
    std::vector<uint32_t> roots;
    for (const Piece& piece : pieces_) {
      for (const uint32_t node : {piece.from, piece.to}) {
        if (node != kHalfWay) roots.push_back(node);
      }
    }
    std::sort(roots.begin(), roots.end());
    roots.erase(std::unique(roots.begin(), roots.end()), roots.end());
    std::sort(roots.begin(), roots.end(), [&](uint32_t a, uint32_t b) {
      const PlanePoint p = noding_.at(a);
      const PlanePoint q = noding_.at(b);
      return std::pair(p.x_m, p.y_m) < std::pair(q.x_m, q.y_m);
    });
    for (const uint32_t root : roots) index_of_[root] = AddNode(noding_.at(root));
  }

  NodeIndex AddNode(PlanePoint at) {
    const auto index = static_cast<NodeIndex>(built_.network.nodes.size());
    Node node;
    node.id = "N" + std::to_string(At(index) + 1);
    node.at = plane_.From(at);
    built_.network.nodes.push_back(std::move(node));
    return index;
  }

  void AddLink(const Piece& piece) {
    const DrawnMain& main = MainOf(piece);
    const auto course = CourseOf(piece);
    if (piece.to == kHalfWay) half_way_ = AddNode(course.back());
    Link link;
    link.id = (in_two_layers_.contains(main.key.key) ? main.key.layer + "/" : "") + main.key.key +
              (piece.only ? "" : "." + std::to_string(piece.number));
    link.from = piece.from == kHalfWay ? half_way_ : index_of_.at(piece.from);
    link.to = piece.to == kHalfWay ? half_way_ : index_of_.at(piece.to);
    link.length_m = {piece.length_m(), {OriginKind::kEstimated, "map", {}, "as drawn"}};
    if (main.diameter) {
      link.inner_diameter_m = Sourced<double>{main.diameter->value.metres(), main.diameter->origin};
    }
    link.material = main.material;
    link.year_laid = main.year_laid;
    link.street = main.street;
    link.zone = main.zone;
    link.main = main.key;
    link.main_from_m = piece.from_m;
    link.main_to_m = piece.to_m;
    for (const PlanePoint p : course) link.line.push_back(plane_.From(p));
    built_.network.links.push_back(std::move(link));
  }

  const Noding& noding_;
  const Drawing& drawing_;
  const Plane& plane_;
  std::vector<Piece> pieces_;
  std::set<std::string> in_two_layers_;
  std::map<uint32_t, NodeIndex> index_of_;
  NodeIndex half_way_{};
  std::map<std::pair<FeatureKey, FeatureKey>, SetAside> twins_;
  BuiltNetwork built_;
};

}  // namespace

BuiltNetwork BuildNetwork(const Noding& noding, const Drawing& drawing, const Plane& plane) {
  return Builder(noding, drawing, plane).Run();
}

}  // namespace lastreach
