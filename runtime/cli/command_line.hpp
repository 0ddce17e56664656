// The command line as plain data: what manual pages and completions are made of.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "runtime/cli/commands.hpp"

namespace sprue {

/// What an argument's value is, where that says how to complete it. An option's FILE is any file, an argument's a
/// source.
inline constexpr const char* value_file = "FILE";
inline constexpr const char* value_folder = "FOLDER";
inline constexpr const char* value_version = "VERSION";  // of a source, as for `compare`

struct ArgumentWords {
  std::vector<std::string> names;    // "-h", "--help"; of a positional argument its one name
  std::string value;                 // "FILE"; empty: a flag
  std::vector<std::string> choices;  // all there are; empty: anything
  std::string standard;              // the default, where it is a plain value
  std::string description;           // one sentence without a period
  bool positional = false;
  bool required = false;
  bool repeated = false;

  bool takes_source() const { return positional && (value == value_file || value == value_version); }
};

struct CommandWords {
  std::string name;  // empty: the program itself
  std::string description;
  std::vector<ArgumentWords> arguments;
};

/// The program, then each command that is shown, in the order of the help.
std::vector<CommandWords> command_line();

struct ExitCode {
  int code;
  std::string_view meaning;
};

/// What the exit codes of a command mean; of the program itself where the name is empty.
inline std::array<ExitCode, 3> exit_codes_of(std::string_view command) {
  return {{
      {exit_fine, "fine"},
      {exit_does_not_hold, command == "serve" ? "the session ended without `shutdown`"
                                              : "evaluated, and something it was asked to hold does not"},
      {exit_unusable, "the input or the command line could not be used"},
  }};
}

}  // namespace sprue
