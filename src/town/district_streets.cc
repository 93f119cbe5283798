#include <algorithm>
#include <array>
#include <map>
#include <numeric>

#include "town/districts.h"
#include "town/seeded.h"
#include "town/town_lines.h"

namespace lastreach {
namespace {

// Ground without streets: the mill pond, two parks, the burial ground, the fair ground and the sports field.
struct Open {
  TownPoint middle;
  double half_width_m;
  double half_height_m;
};
constexpr std::array<Open, 7> kOpenGround = {{{{1120, 1660}, 95, 75},
                                              {{2910, 1745}, 75, 60},
                                              {{2060, 3650}, 110, 130},
                                              {{3420, 3620}, 100, 120},
                                              {{3620, 420}, 200, 150},
                                              {{3560, 4960}, 220, 190},
                                              {{960, 4990}, 180, 160}}};

bool IsOpen(TownPoint point) {
  return std::any_of(kOpenGround.begin(), kOpenGround.end(), [&](const Open& open) {
    const double x = (point.x_m - open.middle.x_m) / open.half_width_m;
    const double y = (point.y_m - open.middle.y_m) / open.half_height_m;
    return x * x + y * y < 1;
  });
}

struct Edge {
  int street = 0;  // edges of one street carry one number; along it they are in order
  int from = 0;
  int to = 0;
  std::vector<TownPoint> line;
  double thin = 0;
  bool kept = true;
};

class Grid {
 public:
  Grid(const District& district, const std::vector<PlannedStreet>& laid) : district_(district), laid_(laid) {
    AddGrid();
    AddDiagonal();
    degree_.assign(district.x_m.size() * district.y_m.size(), 0);
    for (const Edge& edge : edges_) Count(edge, 1);
  }

  // Leaves pieces out at random where both ends keep a bend or a tee, and the whole stays in one.
  void Thin(Seeded& seeded) {
    std::vector<size_t> order(edges_.size());
    std::iota(order.begin(), order.end(), 0U);
    for (size_t i = order.size(); i > 1; --i)
      std::swap(order[i - 1], order[static_cast<size_t>(seeded.Whole(0, static_cast<int>(i) - 1))]);
    for (const size_t i : order) {
      Edge& edge = edges_[i];
      const bool wanted = seeded.Unit() < edge.thin;
      if (!wanted || Degree(edge.from) < 3 || Degree(edge.to) < 3) continue;
      const size_t parts = CountLoose();
      Drop(edge);
      if (CountLoose() > parts) {
        edge.kept = true;
        Count(edge, 1);
      }
    }
  }

  void DropLooseEnds() {
    for (bool again = true; again;) {
      again = false;
      for (Edge& edge : edges_) {
        if (!edge.kept || (Degree(edge.from) > 1 && Degree(edge.to) > 1)) continue;
        Drop(edge);
        again = true;
      }
    }
    const std::vector<int> part = Parts();
    for (Edge& edge : edges_) {
      if (edge.kept && part[static_cast<size_t>(edge.from)] != part.back()) Drop(edge);
    }
  }

  std::vector<PlannedStreet> Streets() const {
    std::vector<PlannedStreet> streets;
    const Edge* before = nullptr;
    for (const Edge& edge : edges_) {
      if (!edge.kept) continue;
      const bool goes_on = before != nullptr && before->street == edge.street && before->to == edge.from;
      if (!goes_on) {
        streets.push_back({StreetKind::kLocal,
                           "",
                           district_.zone,
                           {edge.line.front()},
                           {},
                           district_.material,
                           district_.year_laid,
                           district_.lot_m,
                           ""});
      }
      streets.back().line.insert(streets.back().line.end(), edge.line.begin() + 1, edge.line.end());
      before = &edge;
    }
    return streets;
  }

 private:
  int Columns() const { return static_cast<int>(district_.x_m.size()); }
  int Rows() const { return static_cast<int>(district_.y_m.size()); }
  int NodeAt(int column, int row) const { return row * Columns() + column; }

  // The grid turned about its middle, most there and not at all on the border.
  TownPoint Turned(TownPoint point) const {
    const TownPoint low = {district_.x_m.front(), district_.y_m.front()};
    const TownPoint high = {district_.x_m.back(), district_.y_m.back()};
    const TownPoint middle = 0.5 * (low + high), half = 0.5 * (high - low);
    const TownPoint from = point - middle;
    const double x = from.x_m / half.x_m, y = from.y_m / half.y_m;
    const double r2 = x * x + y * y;
    if (r2 >= 1 || district_.swirl == 0) return point;
    const double turn = district_.swirl * (1 - r2) * (1 - r2);
    return point + turn * LeftOf(from);
  }

  bool IsFed(TownPoint point) const {
    return std::any_of(laid_.begin(), laid_.end(), [&](const PlannedStreet& street) {
      return street.kind == StreetKind::kThrough && Distance_m(point, street.line) < 1e-6;
    });
  }

  bool CanLie(const std::vector<TownPoint>& line) const {
    if (std::any_of(line.begin(), line.end(), IsOpen)) return false;
    return std::none_of(laid_.begin(), laid_.end(), [&](const PlannedStreet& street) {
      return street.kind == StreetKind::kFlushed && Distance_m(line, street.line) < kClear_m;
    });
  }

  bool OnBorder(int column, int row) const {
    return column == 0 || row == 0 || column == Columns() - 1 || row == Rows() - 1;
  }

  void AddEdge(int street, int column, int row, int to_column, int to_row, double thin) {
    const auto place = [&](int at_column, int at_row) {
      return TownPoint{district_.x_m[static_cast<size_t>(at_column)],
                       district_.y_m[static_cast<size_t>(at_row)]};
    };
    const TownPoint from = place(column, row), to = place(to_column, to_row);
    for (const auto& [at_column, at_row, at] :
         {std::tuple(column, row, from), std::tuple(to_column, to_row, to)}) {
      if (OnBorder(at_column, at_row) && !IsFed(at)) return;
    }
    const int stretches = district_.swirl == 0 ? 1 : 4;
    std::vector<TownPoint> line;
    for (int i = 0; i <= stretches; ++i) line.push_back(Turned(from + 1.0 * i / stretches * (to - from)));
    if (CanLie(line))
      edges_.push_back({street, NodeAt(column, row), NodeAt(to_column, to_row), line, thin, true});
  }

  void AddGrid() {
    int street = 0;
    for (int row = 1; row + 1 < Rows(); ++row, ++street) {
      for (int column = 0; column + 1 < Columns(); ++column)
        AddEdge(street, column, row, column + 1, row, district_.thin_y);
    }
    for (int column = 1; column + 1 < Columns(); ++column, ++street) {
      for (int row = 0; row + 1 < Rows(); ++row)
        AddEdge(street, column, row, column, row + 1, district_.thin_x);
    }
  }

  void AddDiagonal() {
    int column = district_.diagonal_x, row = district_.diagonal_y;
    for (int i = 0; i < district_.diagonal_cells; ++i, ++column, row += district_.diagonal_way)
      AddEdge(-1, column, row, column + 1, row + district_.diagonal_way, 0);
  }

  bool IsBorder(int node) const { return OnBorder(node % Columns(), node / Columns()); }
  // A through street goes both ways.
  int Degree(int node) const { return degree_[static_cast<size_t>(node)] + (IsBorder(node) ? 2 : 0); }
  void Count(const Edge& edge, int by) {
    degree_[static_cast<size_t>(edge.from)] += by;
    degree_[static_cast<size_t>(edge.to)] += by;
  }
  void Drop(Edge& edge) {
    edge.kept = false;
    Count(edge, -1);
  }

  // Which part each node is in; the border is one part, and the last entry is its number.
  std::vector<int> Parts() const {
    std::vector<int> part(degree_.size() + 1);
    std::iota(part.begin(), part.end(), 0);
    const int border = static_cast<int>(degree_.size());
    for (size_t i = 0; i < degree_.size(); ++i) {
      if (IsBorder(static_cast<int>(i))) part[i] = border;
    }
    for (bool again = true; again;) {
      again = false;
      for (const Edge& edge : edges_) {
        if (!edge.kept) continue;
        int& a = part[static_cast<size_t>(edge.from)];
        int& b = part[static_cast<size_t>(edge.to)];
        if (a == b) continue;
        a = b = std::max(a, b);
        again = true;
      }
    }
    return part;
  }

  // Nodes the border does not reach.
  size_t CountLoose() const {
    const std::vector<int> part = Parts();
    return static_cast<size_t>(
        std::count_if(part.begin(), part.end(), [&](int p) { return p != part.back(); }));
  }

  const District& district_;
  const std::vector<PlannedStreet>& laid_;
  std::vector<Edge> edges_;
  std::vector<int> degree_;  // pieces at each node
};

}  // namespace

std::vector<PlannedStreet> StreetsOf(const District& district, const std::vector<PlannedStreet>& laid,
                                     uint64_t seed) {
  Seeded seeded(seed);
  Grid grid(district, laid);
  grid.DropLooseEnds();
  grid.Thin(seeded);
  grid.DropLooseEnds();
  return grid.Streets();
}

}  // namespace lastreach
