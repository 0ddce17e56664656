// A program as keyed pieces of source text: what two versions are matched by. Knows syntax trees and names, not values.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "lang/check/model.hpp"
#include "lang/source/source.hpp"

namespace sprue {

/// A declaration, or an entry of an instance or of a scenario. What is inside these two is keyed, too; anything else is
/// whole.
struct Piece {
  std::string key;         // unique among its neighbors: "knob", "weight", "kind lid", "exchange USD"
  std::string label;       // what it is called where its neighbors are not known: "part knob"
  std::string_view text;   // as written
  std::string_view value;  // of a field: the value alone; of an expectation its condition
  std::string tokens;      // as written, without comments, titles and layout; of what has entries its head alone
  std::string facts;       // of a field: range and source, without comments and layout
  std::string title;       // in quotes, as written
  std::vector<std::string> mentions;  // names in it, sorted; of a field those of its value
  std::vector<Piece> inside;          // in the order written
  bool expectation = false;
  bool instance = false;  // or a scenario: has entries
  bool unknown = false;   // a field whose value is unknown: its range is its value
  Span span{};
};

struct Pieces {
  std::vector<std::string> modules;  // built-in modules used
  std::vector<Piece> declarations;   // of the program's own files; nothing that no figure depends on
  std::vector<Piece> edits;          // of the chosen scenario and those it is like, the latest of each
  std::vector<Piece> beside;         // what no figure depends on: expectations, all scenarios, correlations, displays
};

/// The program must be sound. `scenario` is an index into Program::scenarios, or none.
Pieces pieces_of(const Program& program, const Sources& sources, std::uint32_t scenario);

}  // namespace sprue
