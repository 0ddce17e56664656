// Access that never fails, and writing with the strings and numbers of every other JSON output.
#include "runtime/serve/json_value.hpp"

#include <fmt/format.h>
#include <algorithm>

#include "runtime/write/json.hpp"

namespace sprue::serve {

const Json& Json::operator[](std::string_view name) const {
  static const Json null;
  const auto* object = std::get_if<Object>(&value_);
  if (object == nullptr) return null;
  const auto found = object->find(name);
  return found == object->end() ? null : found->second;
}

void Json::set(std::string name, Json value) {
  if (is_null()) value_ = Object{};
  std::get<Object>(value_).insert_or_assign(std::move(name), std::move(value));
}

void Json::add(Json value) {
  if (is_null()) value_ = Array{};
  std::get<Array>(value_).push_back(std::move(value));
}

void Json::add_new(Json value) {
  const Array* const known = items();
  if (known == nullptr || std::find(known->begin(), known->end(), value) == known->end()) add(std::move(value));
}

std::string write(const Json& json) {
  struct Writer {
    std::string out;

    void operator()(std::monostate) { out += "null"; }
    void operator()(bool value) { out += value ? "true" : "false"; }
    void operator()(double value) {
      // Most are places: small and whole.
      const auto whole = static_cast<int>(std::clamp(value, -1e9, 1e9));
      if (whole == value)
        out += fmt::format_int(whole).c_str();
      else
        out += json_number(value);
    }
    void operator()(const std::string& value) { out += json_string(value); }
    void operator()(const Json::Array& items) {
      out += '[';
      for (std::size_t i = 0; i < items.size(); ++i) {
        if (i != 0) out += ',';
        std::visit(*this, items[i].value_);
      }
      out += ']';
    }
    void operator()(const Json::Object& members) {
      out += '{';
      bool first = true;
      for (const auto& [name, value] : members) {
        if (!first) out += ',';
        first = false;
        out += json_string(name) + ":";
        std::visit(*this, value.value_);
      }
      out += '}';
    }
  } writer;
  std::visit(writer, json.value_);
  return std::move(writer.out);
}

}  // namespace sprue::serve
