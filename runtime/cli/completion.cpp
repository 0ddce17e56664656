// `sprue completion`: scripts that complete the command line in bash, zsh and fish, made of the command line itself.
// Sources complete to *.sprue, options to their values. Knows no CLI11.
#include <fmt/format.h>

#include "runtime/cli/command_line.hpp"
#include "runtime/cli/output.hpp"

namespace sprue {
namespace {

std::string joined(const std::vector<std::string>& words, std::string_view between = " ") {
  return fmt::format("{}", fmt::join(words, between));
}

/// Every option's names, of all or of those that take a value.
std::vector<std::string> option_names(const CommandWords& command, bool only_with_value) {
  std::vector<std::string> names;
  for (const ArgumentWords& argument : command.arguments) {
    if (argument.positional || (only_with_value && argument.value.empty())) continue;
    names.insert(names.end(), argument.names.begin(), argument.names.end());
  }
  return names;
}

std::vector<std::string> command_names(const std::vector<CommandWords>& all) {
  std::vector<std::string> names;
  for (const CommandWords& command : all) {
    if (!command.name.empty()) names.push_back(command.name);
  }
  return names;
}

/// Bash: what completes one argument's value.
std::string bash_value(const ArgumentWords& argument) {
  if (!argument.choices.empty()) return fmt::format("_sprue_words '{}'", joined(argument.choices));
  if (argument.takes_source()) return "_sprue_files '*.sprue'";
  if (argument.value == value_file) return "_sprue_files '*'";
  if (argument.value == value_folder) return "_sprue_folders";
  return ":";
}

constexpr std::string_view bash_head = R"(# Completion of sprue's command line in bash.
_sprue_words() { mapfile -t COMPREPLY < <(compgen -W "$1" -- "$word"); }
_sprue_folders() {
  compopt -o filenames 2>/dev/null
  mapfile -t COMPREPLY < <(compgen -d -- "$word")
}
# Files of a pattern, and the folders on the way to them.
_sprue_files() {
  compopt -o filenames 2>/dev/null
  mapfile -t COMPREPLY < <({ compgen -d -- "$word"; compgen -f -X "!$1" -- "$word"; } | sort -u)
}
_sprue() {
  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]} command='' valued='' place=0 i
  COMPREPLY=()
  # `--option=value` comes as three words.
  if [[ $word == '=' ]]; then
    word=''
  elif [[ $before == '=' ]]; then
    before=${COMP_WORDS[COMP_CWORD - 2]}
  fi
  for ((i = 1; i < COMP_CWORD; i++)); do
    if [[ ${COMP_WORDS[i]} != -* ]]; then
      command=${COMP_WORDS[i]}
      break
    fi
  done
  case $command in
)";

/// How many arguments stand before the word; options and their values are none.
constexpr std::string_view bash_tail = R"(  esac
}
_sprue_place() {
  for ((i++; i < COMP_CWORD; i++)); do
    if [[ ${COMP_WORDS[i]} == -* ]]; then
      if [[ ${COMP_WORDS[i + 1]} == '=' ]]; then
        ((i += 2))
      elif [[ " $valued " == *" ${COMP_WORDS[i]} "* ]]; then
        ((i++))
      fi
    else
      ((place++))
    fi
  done
}
complete -F _sprue sprue
)";

std::string bash(const std::vector<CommandWords>& all) {
  std::string out(bash_head);
  for (const CommandWords& command : all) {
    if (command.name.empty()) {
      out += fmt::format("    '') _sprue_words '{} {}' ;;\n", joined(command_names(all)),
                         joined(option_names(command, false)));
      continue;
    }
    out += fmt::format("    {})\n      case $before in\n", command.name);
    std::string places;
    std::size_t place = 0;
    for (const ArgumentWords& argument : command.arguments) {
      if (argument.positional) {
        places +=
            fmt::format("        {}) {} ;;\n", argument.repeated ? "*" : std::to_string(place++), bash_value(argument));
      } else if (!argument.value.empty()) {
        out += fmt::format("        {}) {}; return ;;\n", joined(argument.names, "|"), bash_value(argument));
      }
    }
    out += fmt::format(
        "      esac\n      if [[ $word == -* ]]; then\n        _sprue_words '{}'\n        return\n      fi\n"
        "      valued='{}'\n      _sprue_place\n      case $place in\n{}      esac\n      ;;\n",
        joined(option_names(command, false)), joined(option_names(command, true)), places);
  }
  return out + std::string(bash_tail);
}

/// Inside single quotes of zsh or fish, with what else has a meaning there escaped.
std::string quoted(std::string_view text, std::string_view meaning, std::string_view quote) {
  std::string out;
  for (const char c : text) {
    if (c == '\'') {
      out += quote;
    } else if (meaning.find(c) != std::string_view::npos) {
      out += fmt::format("\\{}", c);
    } else {
      out += c;
    }
  }
  return out;
}

std::string zsh_text(std::string_view text) {
  return quoted(text, "\\[]:", "'\\''");
}

/// Zsh: the ":message:action" of an argument.
std::string zsh_value(const ArgumentWords& argument) {
  std::string action;
  if (!argument.choices.empty()) {
    action = fmt::format("({})", joined(argument.choices));
  } else if (argument.takes_source()) {
    action = "_files -g \"*.sprue\"";
  } else if (argument.value == value_file) {
    action = "_files";
  } else if (argument.value == value_folder) {
    action = "_files -/";
  }
  return fmt::format(":{}:{}", zsh_text(argument.value), action);
}

std::string zsh_arguments(const CommandWords& command) {
  std::string out;
  std::size_t place = 1;
  for (const ArgumentWords& argument : command.arguments) {
    if (argument.positional) {
      out += fmt::format(" \\\n        '{}{}'", argument.repeated ? "*" : std::to_string(place++), zsh_value(argument));
      continue;
    }
    for (const std::string& name : argument.names) {
      out += fmt::format(" \\\n        '{}{}[{}]{}'", argument.repeated ? "*" : "", name,
                         zsh_text(argument.description), argument.value.empty() ? "" : zsh_value(argument));
    }
  }
  return out;
}

std::string zsh(const std::vector<CommandWords>& all) {
  std::string commands;
  std::string cases;
  for (const CommandWords& command : all) {
    if (command.name.empty()) continue;
    commands += fmt::format("        '{}:{}'\n", command.name, zsh_text(command.description));
    cases += fmt::format("    {})\n      _arguments -s{}\n      ;;\n", command.name, zsh_arguments(command));
  }
  return fmt::format(R"(#compdef sprue
# Completion of sprue's command line in zsh.
_sprue() {{
  local context state state_descr line
  typeset -A opt_args
  _arguments -C{} \
        '1:command:->command' '*::argument:->argument'
  case $state in
    command)
      local -a commands=(
{}      )
      _describe command commands
      return
      ;;
    argument) ;;
    *) return ;;
  esac
  case $words[1] in
{}  esac
}}
if [[ $funcstack[1] == _sprue ]]; then
  _sprue "$@"
else
  compdef _sprue sprue
fi
)",
                     zsh_arguments(all[0]), commands, cases);
}

std::string fish_text(std::string_view text) {
  return quoted(text, "\\", "\\'");
}

/// Fish: what completes one argument's value.
std::string fish_value(const ArgumentWords& argument) {
  if (!argument.choices.empty()) return fmt::format(" -x -a '{}'", joined(argument.choices));
  if (argument.takes_source()) return " -a '(__sprue_sources)'";
  if (argument.value == value_file) return " -r -F";
  if (argument.value == value_folder) return " -x -a '(__fish_complete_directories)'";
  return " -x";
}

std::string fish_arguments(const CommandWords& command, std::string_view condition) {
  std::string out;
  for (const ArgumentWords& argument : command.arguments) {
    if (argument.positional) {
      if (argument.takes_source() || !argument.choices.empty())
        out += fmt::format("complete -c sprue -n '{}'{}\n", condition, fish_value(argument));
      continue;
    }
    out += fmt::format("complete -c sprue -n '{}'", condition);
    for (const std::string& name : argument.names)
      out += name.starts_with("--") ? fmt::format(" -l {}", name.substr(2)) : fmt::format(" -s {}", name.substr(1));
    if (!argument.value.empty()) out += fish_value(argument);
    out += fmt::format(" -d '{}'\n", fish_text(argument.description));
  }
  return out;
}

std::string fish(const std::vector<CommandWords>& all) {
  std::string out = R"(# Completion of sprue's command line in fish.
function __sprue_sources
    __fish_complete_path (commandline -ct) | string match -r '^[^\t]*(?:/|\.sprue)(?=\t|$)'
end
complete -c sprue -f
)";
  for (const CommandWords& command : all) {
    if (command.name.empty()) {
      out += fish_arguments(command, "__fish_use_subcommand");
      continue;
    }
    out += fmt::format("complete -c sprue -n __fish_use_subcommand -a {} -d '{}'\n", command.name,
                       fish_text(command.description));
    out += fish_arguments(command, fmt::format("__fish_seen_subcommand_from {}", command.name));
  }
  return out;
}

}  // namespace

int run_completion(const CompletionOptions& options, Streams streams) {
  const std::vector<CommandWords> all = command_line();
  const std::string script = options.shell == "bash" ? bash(all) : options.shell == "zsh" ? zsh(all) : fish(all);
  return put_out(script, options.out, streams);
}

}  // namespace sprue
