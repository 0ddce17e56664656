// The other way to do it: a C++ program that loads W(N) from JSON and evaluates it once. Knows this one layout of JSON.
#include <charconv>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <string>

#include "tests/bench/commands.hpp"
#include "tests/bench/reference.hpp"

namespace sprue::bench {
namespace {

/// Numbers in nested arrays, in order; everything else is passed over.
class Numbers {
 public:
  explicit Numbers(const std::string& text) : at_(text.data()), end_(text.data() + text.size()) {}
  void go_to(const char* key, const std::string& text) { at_ = text.data() + text.find(key); }
  /// The next number before the end of the outer array.
  bool next(double& value) {
    for (; at_ != end_; ++at_) {
      if ((*at_ >= '0' && *at_ <= '9') || *at_ == '-') {
        at_ = std::from_chars(at_, end_, value).ptr;
        return true;
      }
      if (*at_ == ']' && at_ + 1 != end_ && (at_[1] == '}' || at_[1] == ',') && at_[-1] == ']') return false;
    }
    return false;
  }

 private:
  const char* at_;
  const char* end_;
};

template <class Rows>
void read_rows(const std::string& text, const char* key, Rows& rows) {
  Numbers numbers(text);
  numbers.go_to(key, text);
  double value = 0;
  std::size_t column = 0;
  while (numbers.next(value)) {
    if (column == 0) rows.emplace_back();
    rows.back()[column] = value;
    column = (column + 1) % rows.back().size();
  }
}

}  // namespace

int load(const std::vector<std::string>& arguments) {
  if (arguments.size() != 1) return 2;
  std::ifstream in(arguments[0], std::ios::binary);
  const std::string text((std::istreambuf_iterator<char>(in)), {});
  Workload w;
  read_rows(text, "\"molded\"", w.molded);
  read_rows(text, "\"bought\"", w.bought);
  read_rows(text, "\"steps\"", w.steps);
  w.parts = static_cast<int>(w.molded.size());
  const Figures figures = evaluate_by_hand(w);
  std::printf("g.landed = %.6f\ng.margin = %.6f\ng.tooling = %.6f\n", figures.landed, figures.margin, figures.tooling);
  return 0;
}

}  // namespace sprue::bench
