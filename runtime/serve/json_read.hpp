// Text to a JSON value (RFC 8259). The only reader of JSON.
#pragma once

#include <optional>
#include <string_view>

#include "runtime/serve/json_value.hpp"

namespace sprue::serve {

/// Nothing where the text is no JSON or deeper than limits::message_depth. Half a surrogate pair is read as U+FFFD; of
/// members with one name the last counts.
std::optional<Json> read_json(std::string_view text);

}  // namespace sprue::serve
