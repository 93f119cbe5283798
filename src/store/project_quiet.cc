// Dead ends and quiet stretches, with the mains behind them as a layer of lines.
#include "store/contents.h"
#include "store/cut_line.h"
#include "store/geometry.h"
#include "store/index_of_id.h"
#include "store/project_impl.h"

namespace lastreach {
namespace {

std::string Joined(const std::vector<std::string>& notes) {
  std::string text;
  for (const std::string& note : notes) text += (text.empty() ? "" : "\n") + note;
  return text;
}

std::vector<std::string> Lines(const std::string& text) {
  std::vector<std::string> lines;
  for (size_t at = 0; at < text.size();) {
    const size_t end = std::min(text.find('\n', at), text.size());
    lines.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  return lines;
}

Result<std::vector<std::string>> Ids(Database& database, const std::string& table) {
  std::vector<std::string> ids;
  Status read =
      database.Query("SELECT id FROM " + table + " ORDER BY fid", {}, [&](const Row& row) -> Status {
        ids.push_back(row.Text("id"));
        return Ok();
      });
  if (!read.ok()) return read.error();
  return ids;
}

Columns ColumnsOf(const QuietPlace& place, Value node) {
  return {{"geom", PointBlob(place.at)},
          {"id", place.id},
          {"kind", TextOf(ToText(place.kind))},
          {"node", std::move(node)},
          {"street", place.street},
          {"zone", place.zone},
          {"length_m", place.length_m},
          {"volume_m3", place.volume_m3},
          {"services", int64_t{place.services}},
          {"services_beyond", int64_t{place.services_beyond}},
          {"demand_m3_per_s", place.demand_m3_per_s},
          {"tail_m", place.tail_m},
          {"tail_m3", place.tail_m3},
          {"days_to_last_customer", RealValue(place.days_to_last_customer)},
          {"days_from_source", RealValue(place.days_from_source)},
          {"fed_by", place.fed_by},
          {"outlet", place.outlet},
          {"notes", Joined(place.notes)}};
}

Result<QuietPlace> ReadPlace(const Row& row, const IndexOfId<NodeIndex>& nodes) {
  QuietPlace place;
  place.id = row.Text("id");
  const auto kind = ParseQuietKind(row.Text("kind"));
  if (!kind.ok()) return kind.error();
  place.kind = *kind;
  if (!row.IsNull("node")) {
    const auto node = nodes.Find(row.Text("node"));
    if (!node.ok()) return node.error();
    place.node = *node;
  }
  const auto at = ReadPointBlob(row.Bytes("geom"));
  if (!at.ok()) return at.error();
  if (!*at) return BadInput("the quiet place has no position", {"", {}, "id", place.id});
  place.at = **at;
  place.street = row.Text("street");
  place.zone = row.Text("zone");
  place.length_m = row.Number("length_m");
  place.volume_m3 = row.Number("volume_m3");
  place.services = static_cast<int>(row.Int("services"));
  place.services_beyond = static_cast<int>(row.Int("services_beyond"));
  place.demand_m3_per_s = row.Number("demand_m3_per_s");
  place.tail_m = row.Number("tail_m");
  place.tail_m3 = row.Number("tail_m3");
  place.days_to_last_customer = ReadReal(row, "days_to_last_customer");
  place.days_from_source = ReadReal(row, "days_from_source");
  place.fed_by = row.Text("fed_by");
  place.outlet = row.Text("outlet");
  place.notes = Lines(row.Text("notes"));
  return place;
}

// What a piece looks like on the map; empty without one.
Result<Line> Drawn(Database& database, const std::string& link, const ReachPiece& piece) {
  Line part;
  Status read = database.Query("SELECT geom, length_m FROM network_links WHERE id = ?", {link},
                               [&](const Row& row) -> Status {
                                 if (row.IsNull("geom")) return Ok();
                                 const auto line = ReadLineBlob(row.Bytes("geom"));
                                 if (!line.ok()) return line.error();
                                 const double length_m = row.Number("length_m");
                                 if (length_m > 0) {
                                   part = CutLine(*line, piece.from_m / length_m, piece.to_m / length_m);
                                 }
                                 return Ok();
                               });
  if (!read.ok()) return read.error();
  return part;
}

Status PutDrawnReach(Database& database, const QuietPlace& place, const std::vector<std::string>& links) {
  std::vector<Line> lines;
  int64_t position = 0;
  for (const ReachPiece& piece : place.reach) {
    if (At(piece.link) >= links.size()) {
      return BadInput("the reach runs through a link that is not in the network", {"", {}, "id", place.id});
    }
    const std::string& link = links[At(piece.link)];
    const auto added = database.Insert("quiet_pieces", {{"place", place.id},
                                                        {"position", ++position},
                                                        {"link", link},
                                                        {"from_m", piece.from_m},
                                                        {"to_m", piece.to_m},
                                                        {"services", int64_t{piece.services}},
                                                        {"demand_m3_per_s", piece.demand_m3_per_s}});
    if (!added.ok()) return added.error();
    auto line = Drawn(database, link, piece);
    if (!line.ok()) return line.error();
    if (!line->empty()) lines.push_back(std::move(*line));
  }
  const auto drawn = database.Insert(
      "quiet_reaches", {{"geom", lines.empty() ? Value() : Value(LinesBlob(lines))}, {"place", place.id}});
  return drawn.ok() ? Ok() : Status(drawn.error());
}

Status PutPlace(Database& database, const QuietPlace& place, const std::vector<std::string>& nodes) {
  if (place.node && At(*place.node) >= nodes.size()) {
    return BadInput("the quiet place is at a node that is not in the network", {"", {}, "id", place.id});
  }
  const auto added =
      database.Insert("quiet_places", ColumnsOf(place, place.node ? Value(nodes[At(*place.node)]) : Value()));
  return added.ok() ? Ok() : Status(added.error());
}

}  // namespace

Status Project::PutQuietPlaces(const std::vector<QuietPlace>& places) {
  return InTransaction([&]() -> Status {
    Database& database = *impl_->database;
    for (const char* table : {"quiet_places", "quiet_reaches", "quiet_pieces"}) {
      if (Status cleared = database.Run(std::string("DELETE FROM ") + table); !cleared.ok()) return cleared;
    }
    const auto nodes = Ids(database, "network_nodes");
    if (!nodes.ok()) return nodes.error();
    const auto links = Ids(database, "network_links");
    if (!links.ok()) return links.error();
    for (const QuietPlace& place : places) {
      if (Status put = PutPlace(database, place, *nodes); !put.ok()) return put;
      if (Status put = PutDrawnReach(database, place, *links); !put.ok()) return put;
    }
    for (const char* layer : {"quiet_places", "quiet_reaches"}) {
      if (Status noted = NoteLayerChange(database, layer); !noted.ok()) return noted;
    }
    return NoteChange(database, "quiet_pieces");
  });
}

Result<std::vector<QuietPlace>> Project::QuietPlaces() const {
  Database& database = *impl_->database;
  const auto node_ids = Ids(database, "network_nodes");
  if (!node_ids.ok()) return node_ids.error();
  const auto link_ids = Ids(database, "network_links");
  if (!link_ids.ok()) return link_ids.error();
  IndexOfId<NodeIndex> nodes("node");
  IndexOfId<LinkIndex> links("link");
  for (const std::string& id : *node_ids) nodes.Add(id);
  for (const std::string& id : *link_ids) links.Add(id);
  std::vector<QuietPlace> places;
  Status read = database.Query("SELECT * FROM quiet_places ORDER BY fid", {}, [&](const Row& row) -> Status {
    auto place = ReadPlace(row, nodes);
    if (!place.ok()) return place.error();
    places.push_back(std::move(*place));
    return Ok();
  });
  for (size_t i = 0; i < places.size() && read.ok(); ++i) {
    read = database.Query(
        "SELECT * FROM quiet_pieces WHERE place = ? ORDER BY position", {places[i].id},
        [&](const Row& row) -> Status {
          const auto link = links.Find(row.Text("link"));
          if (!link.ok()) return link.error();
          places[i].reach.push_back({*link, row.Number("from_m"), row.Number("to_m"),
                                     static_cast<int>(row.Int("services")), row.Number("demand_m3_per_s")});
          return Ok();
        });
  }
  if (read.ok()) return places;
  Error error = read.error();
  if (error.place.file.empty()) error.place.file = path();
  return error;
}

}  // namespace lastreach
