// Drawing charts. A fixed width that is still readable when a phone shrinks it.
#include "runtime/write/svg.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cmath>

#include "runtime/write/markup.hpp"
#include "runtime/write/number.hpp"
#include "runtime/write/scale.hpp"

namespace sprue {
namespace {

constexpr double width = 440;
constexpr double margin = 8;
constexpr double text_size = 13;
constexpr double line_height = 18;

// The palette of Okabe and Ito, which most kinds of color blindness tell apart (values from memory).
constexpr std::array<std::string_view, 6> colors{"#0072B2", "#D55E00", "#007D5B", "#8A5A00", "#555555", "#A0447C"};
constexpr std::array<std::string_view, 6> dashes{"", "7 4", "2 3", "9 3 2 3", "4 2", "1 2"};
constexpr std::string_view ink = "#1a1a1a";
constexpr std::string_view faint = "#d4d4d4";

std::string_view color(std::size_t i) {
  return colors[i % colors.size()];
}

/// About how wide a text is: generous, so that texts do not meet.
double text_width(std::string_view text) {
  double characters = 0;
  for (const char c : text) characters += (static_cast<unsigned char>(c) & 0xC0U) != 0x80 ? 1 : 0;
  return characters * text_size * 0.56;
}

/// As much of the text as fits, with an ellipsis for the rest.
std::string fitting(const std::string& text, double room) {
  if (text_width(text) <= room) return text;
  std::string cut = text;
  while (!cut.empty() && text_width(cut) + text_size > room) {
    do {
      cut.pop_back();
    } while (!cut.empty() && (static_cast<unsigned char>(cut.back()) & 0xC0U) == 0x80);
    if (!cut.empty() && static_cast<unsigned char>(cut.back()) >= 0xC0) cut.pop_back();
  }
  return cut + "…";
}

/// Broken between words into lines that fit.
std::vector<std::string> wrapped(const std::string& text, double room) {
  std::vector<std::string> lines{""};
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    const std::string word = text.substr(at, end - at);
    at = end + 1;
    const std::string longer = lines.back().empty() ? word : lines.back() + " " + word;
    if (text_width(longer) <= room || lines.back().empty()) {
      lines.back() = longer;
    } else {
      lines.push_back(word);
    }
  }
  for (std::string& line : lines) line = fitting(line, room);
  return lines;
}

std::string number(double value) {
  std::string text = decimal(value, 1);
  if (text.ends_with(".0")) text.resize(text.size() - 2);
  return text;
}

std::string axis_title(const Axis& axis) {
  if (axis.unit.empty()) return axis.title;
  return axis.title.empty() ? axis.unit : fmt::format("{} [{}]", axis.title, axis.unit);
}

class Drawing {
 public:
  Drawing(const std::string& id, const std::string& prefix) : id_(markup_id(prefix + id)) {}

  double y = margin;  // where the next thing begins

  void title(const std::string& text) {
    for (const std::string& line : wrapped(text, width - 2 * margin)) {
      y += line_height;
      put(R"(<text x="{}" y="{}" font-weight="600">{}</text>)", number(margin), number(y - 4), escaped_markup(line));
    }
    y += 4;
  }

  template <class... Arguments>
  void put(fmt::format_string<Arguments...> format, Arguments&&... arguments) {
    body_ += fmt::format(format, std::forward<Arguments>(arguments)...) + "\n";
  }
  void text(double x, double at, const std::string& content, std::string_view anchor = "start") {
    put(R"(<text x="{}" y="{}" text-anchor="{}">{}</text>)", number(x), number(at), anchor, escaped_markup(content));
  }
  void line(double x1, double y1, double x2, double y2, std::string_view stroke, std::string_view more = {}) {
    put(R"(<line x1="{}" y1="{}" x2="{}" y2="{}" stroke="{}"{}/>)", number(x1), number(y1), number(x2), number(y2),
        stroke, more);
  }

  /// The fill of a series: solid, striped, dotted.
  std::string fill(std::size_t series) const {
    return series == 0 ? std::string(color(0)) : fmt::format("url(#{}-fill-{})", id_, series);
  }

  /// Entries of a key, as many to a line as fit; `sample` draws one at its place.
  template <class Sample>
  void key(const std::vector<std::string>& entries, Sample&& sample) {
    double x = margin;
    y += line_height;
    for (std::size_t i = 0; i < entries.size(); ++i) {
      const std::string label = fitting(entries[i], width - 2 * margin - 34);
      const double room = 34 + text_width(label) + 10;
      if (x > margin && x + room > width - margin) {
        x = margin;
        y += line_height;
      }
      sample(i, x, y - 9);
      text(x + 28, y - 4, label);
      x += room;
    }
    y += 4;
  }

  std::string finish(const std::string& title, const std::string& description, std::size_t fills) const {
    std::string out = fmt::format(
        R"(<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {0} {1}" width="{0}" height="{1}" role="img" aria-labelledby="{2}-title {2}-desc" font-family="system-ui, 'Segoe UI', 'Helvetica Neue', Arial, sans-serif" font-size="{3}" fill="{4}">)"
        "\n<title id=\"{2}-title\">{5}</title>\n<desc id=\"{2}-desc\">{6}</desc>\n",
        number(width), number(y + margin), id_, number(text_size), ink, escaped_markup(title),
        escaped_markup(description));
    if (fills > 1) {
      out += "<defs>\n";
      for (std::size_t i = 1; i < fills; ++i) {
        const std::string_view mark = i % 2 == 1 ? R"(<path d="M0 6L6 0M-1 1L1 -1M5 7L7 5" stroke-width="2.4")"
                                                 : R"(<path d="M0 3H6" stroke-width="3")";
        out += fmt::format(
            R"(<pattern id="{0}-fill-{1}" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="6" height="6" fill="#ffffff"/>{2} stroke="{3}"/></pattern>)"
            "\n",
            id_, i, mark, color(i));
      }
      out += "</defs>\n";
    }
    return out + body_ + "</svg>\n";
  }

 private:
  std::string id_;
  std::string body_;
};

void shape(Drawing& drawing, std::size_t kind, double x, double y) {
  switch (kind % 4) {
    case 0:
      drawing.put(R"(<circle cx="{}" cy="{}" r="5" fill="#ffffff" stroke="{}" stroke-width="2"/>)", number(x),
                  number(y), ink);
      break;
    case 1:
      drawing.put(R"(<path d="M{} {}l6 6l-6 6l-6 -6z" fill="#ffffff" stroke="{}" stroke-width="2"/>)", number(x),
                  number(y - 6), ink);
      break;
    case 2:
      drawing.put(R"(<path d="M{} {}l6 10h-12z" fill="#ffffff" stroke="{}" stroke-width="2"/>)", number(x),
                  number(y - 6), ink);
      break;
    default:
      drawing.put(R"(<rect x="{}" y="{}" width="9" height="9" fill="#ffffff" stroke="{}" stroke-width="2"/>)",
                  number(x - 4.5), number(y - 4.5), ink);
  }
}

/// The range of all values; a bar that begins at zero keeps it in sight.
struct Range {
  double low = 0, high = 0;
  bool any = false;
  void add(double value) {
    low = any ? std::min(low, value) : value;
    high = any ? std::max(high, value) : value;
    any = true;
  }
  void widen() {
    if (high > low) return;
    const double by = high == 0 ? 1 : std::fabs(high) / 10;
    low -= by;
    high += by;
  }
};

}  // namespace

std::string write_svg(const BarChart& chart, const std::string& prefix) {
  Drawing drawing(chart.id, prefix);
  drawing.title(chart.title);
  if (chart.series.size() > 1) {
    drawing.key(chart.series, [&](std::size_t i, double x, double y) {
      drawing.put(R"(<rect x="{}" y="{}" width="22" height="10" fill="{}" stroke="{}"/>)", number(x), number(y - 5),
                  drawing.fill(i), color(i));
    });
  }
  Range range;
  for (const BarChart::Bar& bar : chart.bars) {
    for (const BarChart::Stretch& stretch : bar.stretches) {
      range.add(stretch.from);
      range.add(stretch.to);
    }
  }
  range.widen();
  const Scale scale(range.low, range.high, margin + 2, width - margin - 2);
  const std::vector<Tick> marks = ticks(chart.axis, range.low, range.high, 4);
  constexpr double row = 32;
  const double top = drawing.y + 2;
  const double bottom = top + row * static_cast<double>(chart.bars.size()) + 2;
  for (const Tick& tick : marks) drawing.line(scale.at(tick.value), top, scale.at(tick.value), bottom, faint);
  for (std::size_t i = 0; i < chart.bars.size(); ++i) {
    const BarChart::Bar& bar = chart.bars[i];
    const double y = top + row * static_cast<double>(i);
    const double room = width - 2 * margin - (bar.note.empty() ? 0 : text_width(bar.note) + 12);
    drawing.text(margin, y + 14, fitting(bar.label, room));
    if (!bar.note.empty()) drawing.text(width - margin, y + 14, bar.note, "end");
    for (const BarChart::Stretch& stretch : bar.stretches) {
      const double from = scale.at(std::min(stretch.from, stretch.to));
      const double to = scale.at(std::max(stretch.from, stretch.to));
      drawing.put(R"(<rect x="{}" y="{}" width="{}" height="10" fill="{}" stroke="{}"/>)", number(from), number(y + 17),
                  number(std::max(to - from, 0.5)), drawing.fill(stretch.series), color(stretch.series));
    }
  }
  if (range.low < 0 && range.high > 0) drawing.line(scale.at(0), top, scale.at(0), bottom, ink);
  drawing.y = bottom + line_height;
  double used = -1e9;
  for (const Tick& tick : marks) {
    const double half = text_width(tick.label) / 2;
    const double x = std::clamp(scale.at(tick.value), margin + half, width - margin - half);
    if (x - half < used + 6) continue;
    drawing.text(x, drawing.y - 4, tick.label, "middle");
    used = x + half;
  }
  drawing.y += line_height;
  drawing.text(width - margin, drawing.y - 4, fitting(axis_title(chart.axis), width - 2 * margin), "end");
  return drawing.finish(chart.title, chart.description, std::max<std::size_t>(chart.series.size(), 1));
}

std::string write_svg(const LineChart& chart, const std::string& prefix) {
  Drawing drawing(chart.id, prefix);
  drawing.title(chart.title);
  if (chart.lines.size() > 1) {
    std::vector<std::string> names;
    for (const LineChart::Line& line : chart.lines) names.push_back(line.title);
    drawing.key(names, [&](std::size_t i, double x, double y) {
      drawing.line(x, y, x + 24, y, color(i),
                   fmt::format(R"( stroke-width="2.5" stroke-dasharray="{}")", dashes[i % dashes.size()]));
    });
  }
  Range across;
  Range up;
  up.add(0);
  for (const LineChart::Line& line : chart.lines) {
    for (const LineChart::Point& point : line.points) {
      across.add(point.x);
      up.add(point.y);
    }
  }
  across.widen();
  up.widen();
  const std::vector<Tick> rows = ticks(chart.y, up.low, up.high, 5);
  double label_room = 0;
  for (const Tick& tick : rows) label_room = std::max(label_room, text_width(tick.label));
  drawing.y += line_height;
  drawing.text(margin, drawing.y - 4, axis_title(chart.y));
  const double left = margin + label_room + 6;
  const double right = width - margin - 6;
  const double top = drawing.y + 6;
  const double bottom = top + 190;
  const Scale x(across.low, across.high, left, right);
  const Scale y(up.low, up.high, bottom, top);
  for (const Tick& tick : rows) {
    drawing.line(left, y.at(tick.value), right, y.at(tick.value), tick.value == 0 ? ink : faint);
    drawing.text(left - 6, y.at(tick.value) + 4, tick.label, "end");
  }
  double used = -1e9;
  for (const Tick& tick : ticks(chart.x, across.low, across.high, 5)) {
    const double half = text_width(tick.label) / 2;
    const double place = std::clamp(x.at(tick.value), margin + half, width - margin - half);
    if (place - half < used + 6) continue;
    drawing.line(x.at(tick.value), bottom, x.at(tick.value), bottom + 4, ink);
    drawing.text(place, bottom + line_height, tick.label, "middle");
    used = place + half;
  }
  for (std::size_t i = 0; i < chart.lines.size(); ++i) {
    std::string path;
    for (const LineChart::Point& point : chart.lines[i].points) {
      if (path.empty()) {
        path = fmt::format("M{} {}", number(x.at(point.x)), number(y.at(point.y)));
      } else if (chart.lines[i].stepped) {
        path += fmt::format("H{}V{}", number(x.at(point.x)), number(y.at(point.y)));
      } else {
        path += fmt::format("L{} {}", number(x.at(point.x)), number(y.at(point.y)));
      }
    }
    drawing.put(R"(<path d="{}" fill="none" stroke="{}" stroke-width="2.2" stroke-dasharray="{}"/>)", path, color(i),
                dashes[i % dashes.size()]);
  }
  for (const LineChart::Mark& mark : chart.marks)
    drawing.line(x.at(mark.at.x), top, x.at(mark.at.x), bottom, "#777777", R"( stroke-dasharray="2 3")");
  for (std::size_t i = 0; i < chart.marks.size(); ++i)
    shape(drawing, i, x.at(chart.marks[i].at.x), y.at(chart.marks[i].at.y));
  drawing.y = bottom + line_height + 4;
  if (const std::string title = axis_title(chart.x); !title.empty()) {
    drawing.y += line_height;
    drawing.text(right, drawing.y - 4, title, "end");
  }
  for (std::size_t i = 0; i < chart.marks.size(); ++i) {
    drawing.y += line_height;
    shape(drawing, i, margin + 8, drawing.y - 8);
    drawing.text(margin + 22, drawing.y - 4, fitting(chart.marks[i].text, width - 2 * margin - 22));
  }
  return drawing.finish(chart.title, chart.description, 1);
}

}  // namespace sprue
