// A report as plain data: headings, paragraphs, tables. Views make it, writers turn it into bytes; it knows neither.
#pragma once

#include <string>
#include <variant>
#include <vector>

namespace sprue {

struct Cell {
  std::string text;  // shown where this is no number
  double value = 0;  // in the column's unit
  bool number = false;
  bool incomplete = false;  // rests on something unknown
  bool absent = false;      // unknown itself
};

struct TableColumn {
  std::string id;
  std::string title;
  std::string unit;  // of every number in it; empty for texts and ratios
  int places = 0;
  bool number = false;
  bool foots = false;  // shown rows add up to the shown total
};

struct TableRow {
  std::vector<Cell> cells;
  bool total = false;
};

struct Table {
  std::string id;
  std::string title;
  std::vector<TableColumn> columns;
  std::vector<TableRow> rows;
};

struct Heading {
  std::string text;
  int level = 1;
};

struct Paragraph {
  std::string text;
};

/// One headline: its name, value and definition.
struct KeyFigure {
  std::string path;
  std::string title;
  std::string value;  // with its unit
  std::string definition;
};
struct KeyFigures {
  std::vector<KeyFigure> figures;
};

using Block = std::variant<Heading, Paragraph, KeyFigures, Table>;
using Document = std::vector<Block>;

}  // namespace sprue
