// The grammar of JSON, and the actions that build the value from the inside out.
#include "runtime/serve/json_read.hpp"

#include <charconv>
#include <tao/pegtl.hpp>
#include <tao/pegtl/contrib/unescape.hpp>

#include "lang/limits/limits.hpp"

namespace sprue::serve {
namespace {

namespace p = TAO_PEGTL_NAMESPACE;

/// What is under way: arrays and objects that are open, the name of the member that comes next, a string in pieces.
struct State {
  struct Open {
    Json value;
    std::string name;
  };
  std::vector<Open> open;
  Json done;
  std::string text;
  unsigned high = 0;  // first half of a surrogate pair that waits for its second

  void put(Json value) {
    if (open.empty())
      done = std::move(value);
    else if (open.back().value.is_object())
      open.back().value.set(std::move(open.back().name), std::move(value));
    else
      open.back().value.add(std::move(value));
  }
  void unit(unsigned code) {
    if (high != 0 && code >= 0xDC00 && code < 0xE000) {
      character(0x10000 + ((high - 0xD800) << 10U) + (code - 0xDC00));
      high = 0;
      return;
    }
    lone();
    if (code >= 0xD800 && code < 0xDC00)
      high = code;
    else
      character(code);
  }
  /// A first half that no second one followed.
  void lone() {
    if (high != 0) character(high);
    high = 0;
  }

 private:
  /// Half a pair cannot be written.
  void character(unsigned code) {
    if (!p::unescape::utf8_append_utf32(text, code)) text += "\xEF\xBF\xBD";
  }
};

struct ws : p::star<p::one<' ', '\t', '\n', '\r'>> {};
template <char C>
struct mark : p::seq<ws, p::one<C>, ws> {};

struct digits : p::plus<p::digit> {};
struct number : p::seq<p::opt<p::one<'-'>>, p::sor<p::one<'0'>, digits>, p::opt<p::one<'.'>, digits>,
                       p::opt<p::one<'e', 'E'>, p::opt<p::one<'+', '-'>>, digits>> {};
struct yes : p::string<'t', 'r', 'u', 'e'> {};
struct no : p::string<'f', 'a', 'l', 's', 'e'> {};
struct null : p::string<'n', 'u', 'l', 'l'> {};

struct run : p::plus<p::seq<p::not_at<p::one<'"', '\\'>>, p::utf8::range<0x20, 0x10FFFF>>> {};
struct unicode : p::seq<p::one<'u'>, p::rep<4, p::xdigit>> {};
struct simple : p::one<'"', '\\', '/', 'b', 'f', 'n', 'r', 't'> {};
struct escaped : p::seq<p::one<'\\'>, p::sor<simple, unicode>> {};
struct quote : p::one<'"'> {};
struct quoted : p::seq<quote, p::star<p::sor<run, escaped>>, p::one<'"'>> {};
struct string : p::seq<quoted> {};
struct name : p::seq<quoted> {};

struct value;
struct array_begin : p::one<'['> {};
struct array_end : p::one<']'> {};
struct object_begin : p::one<'{'> {};
struct object_end : p::one<'}'> {};
struct array : p::seq<array_begin, ws, p::opt<p::list<value, mark<','>>>, ws, array_end> {};
struct member : p::seq<name, mark<':'>, value> {};
struct object : p::seq<object_begin, ws, p::opt<p::list<member, mark<','>>>, ws, object_end> {};
struct value : p::sor<string, number, object, array, yes, no, null> {};
struct document : p::seq<ws, value, ws, p::eof> {};

template <class Rule>
struct action {};
template <>
struct action<quote> {
  static void apply0(State& state) { state.text.clear(); }
};
template <>
struct action<run> {
  template <class Input>
  static void apply(const Input& in, State& state) {
    state.lone();
    state.text.append(in.begin(), in.end());
  }
};
template <>
struct action<simple> {
  template <class Input>
  static void apply(const Input& in, State& state) {
    static constexpr std::string_view letters = "bfnrt", characters = "\b\f\n\r\t";
    const std::size_t at = letters.find(*in.begin());
    state.lone();
    state.text += at == std::string_view::npos ? *in.begin() : characters[at];
  }
};
template <>
struct action<unicode> {
  template <class Input>
  static void apply(const Input& in, State& state) {
    unsigned code = 0;
    std::from_chars(in.begin() + 1, in.end(), code, 16);
    state.unit(code);
  }
};
template <>
struct action<string> {
  static void apply0(State& state) {
    state.lone();
    state.put(std::move(state.text));
  }
};
template <>
struct action<name> {
  static void apply0(State& state) {
    state.lone();
    state.open.back().name = std::move(state.text);
  }
};
template <>
struct action<number> {
  template <class Input>
  static void apply(const Input& in, State& state) {
    double result = 0;
    std::from_chars(in.begin(), in.end(), result);  // too large or too small: stays 0
    state.put(result);
  }
};
template <>
struct action<yes> {
  static void apply0(State& state) { state.put(true); }
};
template <>
struct action<no> {
  static void apply0(State& state) { state.put(false); }
};
template <>
struct action<null> {
  static void apply0(State& state) { state.put({}); }
};

bool begin(State& state, Json empty) {
  if (state.open.size() == limits::message_depth) return false;
  state.open.push_back({std::move(empty), {}});
  return true;
}
void end(State& state) {
  Json value = std::move(state.open.back().value);
  state.open.pop_back();
  state.put(std::move(value));
}
template <>
struct action<array_begin> {
  static bool apply0(State& state) { return begin(state, Json::array()); }
};
template <>
struct action<object_begin> {
  static bool apply0(State& state) { return begin(state, Json(Json::Object{})); }
};
template <>
struct action<array_end> {
  static void apply0(State& state) { end(state); }
};
template <>
struct action<object_end> {
  static void apply0(State& state) { end(state); }
};

}  // namespace

std::optional<Json> read_json(std::string_view text) {
  State state;
  p::memory_input<p::tracking_mode::lazy, p::eol::lf> in(text.data(), text.data() + text.size(), "");
  if (!p::parse<document, action>(in, state)) return std::nullopt;
  return std::move(state.done);
}

}  // namespace sprue::serve
