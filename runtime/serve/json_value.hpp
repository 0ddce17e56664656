// A JSON value as data, and its text. Knows JSON alone.
#pragma once

#include <initializer_list>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace sprue::serve {

class Json {
 public:
  using Array = std::vector<Json>;
  using Object = std::map<std::string, Json, std::less<>>;

  Json() = default;  // null
  Json(bool value) : value_(value) {}
  Json(double value) : value_(value) {}
  Json(int value) : value_(static_cast<double>(value)) {}
  Json(std::size_t value) : value_(static_cast<double>(value)) {}
  Json(std::uint32_t value) : value_(static_cast<double>(value)) {}
  Json(std::string value) : value_(std::move(value)) {}
  Json(std::string_view value) : value_(std::string(value)) {}
  Json(const char* value) : value_(std::string(value)) {}
  Json(Array value) : value_(std::move(value)) {}
  Json(Object value) : value_(std::move(value)) {}

  /// The members are copied; `set` moves what is large.
  static Json object(std::initializer_list<Object::value_type> members) { return Json(Object(members)); }
  static Json array(std::initializer_list<Json> items = {}) { return Json(Array(items)); }

  bool is_null() const { return std::holds_alternative<std::monostate>(value_); }
  bool is_object() const { return std::holds_alternative<Object>(value_); }
  const std::string* text() const { return std::get_if<std::string>(&value_); }
  const double* number() const { return std::get_if<double>(&value_); }
  const bool* flag() const { return std::get_if<bool>(&value_); }
  const Array* items() const { return std::get_if<Array>(&value_); }
  const Object* members() const { return std::get_if<Object>(&value_); }

  /// The member of an object; null where there is none or this is no object.
  const Json& operator[](std::string_view name) const;
  /// Of an object; what is null becomes one.
  void set(std::string name, Json value);
  /// To an array; what is null becomes one.
  void add(Json value);
  /// The same, unless an equal one is there.
  void add_new(Json value);

  bool operator==(const Json&) const = default;

 private:
  std::variant<std::monostate, bool, double, std::string, Array, Object> value_;

  friend std::string write(const Json& json);
};

/// On one line, members in the order of their names.
std::string write(const Json& json);

}  // namespace sprue::serve
