// A report as plain data: headings, paragraphs, tables, charts. Views make it, writers turn it into bytes; it knows
// neither.
#pragma once

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

namespace sprue {

struct Cell {
  std::string text;  // shown where this is no number
  double value = 0;  // in the column's unit
  bool number = false;
  bool incomplete = false;   // rests on something unknown
  bool absent = false;       // unknown itself
  bool change = false;       // people see it with its sign, and nothing where it is nothing
  bool withheld = false;     // a text that stands for a number nobody is to know
  int places = -1;           // its own, where the units of a column's rows differ
  int percent = -1;          // people see a percentage with so many decimals; a change of one is in points
  std::string for_people{};  // what people see instead of the text
};

struct TableColumn {
  std::string id;
  std::string title;
  std::string unit;  // of every number in it; empty for texts and ratios
  int places = 0;
  bool number = false;
  bool summed = false;  // its rows add up to its total
  bool change = false;  // people see it with its sign, and nothing where it is nothing
  int percent = -1;     // people see percentages with so many decimals
  bool exact = false;   // files for machines have every digit; the places are for people
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
  bool brief = false;  // a line a row in a text, no rules: what does not fit is cut with a sign
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
  std::string value;   // with its unit
  std::string number;  // the value alone, thousands not grouped
  std::string unit;
  std::string definition;
};
struct KeyFigures {
  std::vector<KeyFigure> figures;
};

/// What the numbers along one side of a chart are.
struct Axis {
  std::string title;
  std::string unit;
  int places = 0;
  bool dates = false;  // days since 1970-01-01
};

/// Horizontal bars, each of one or more stretches: from zero, from low to high, from before to after.
struct BarChart {
  struct Stretch {
    double from = 0;
    double to = 0;
    std::uint32_t series = 0;
  };
  struct Bar {
    std::string label;
    std::string note;  // at its end: the value as text
    std::vector<Stretch> stretches;
  };
  std::string id;
  std::string title;
  std::string description;  // for those who cannot see it
  Axis axis;
  std::vector<std::string> series;  // for the key; one needs none
  std::vector<Bar> bars;
};

/// Lines over a common axis.
struct LineChart {
  struct Point {
    double x = 0;
    double y = 0;
  };
  struct Line {
    std::string title;
    std::vector<Point> points;  // by rising x
    bool stepped = false;       // stays until the next point
  };
  struct Mark {
    Point at;
    std::string text;
  };
  std::string id;
  std::string title;
  std::string description;
  Axis x;
  Axis y;
  std::vector<Line> lines;
  std::vector<Mark> marks;
};

using Block = std::variant<Heading, Paragraph, KeyFigures, Table, BarChart, LineChart>;
using Document = std::vector<Block>;

inline bool is_chart(const Block& block) {
  return std::holds_alternative<BarChart>(block) || std::holds_alternative<LineChart>(block);
}

}  // namespace sprue
