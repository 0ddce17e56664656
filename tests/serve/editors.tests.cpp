// The files that color the language in editors are written from its words: the folder docs/editors/vim and
// docs/editors/sprue.tmLanguage.json. SPRUE_UPDATE=1 writes them anew.
#include <fmt/format.h>
#include <map>
#include <regex>

#include "lang/syntax/words.hpp"
#include "runtime/serve/json_read.hpp"
#include "tests/catch.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/repository.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

/// How a group of words is called in Vim and in TextMate grammars.
struct Look {
  std::string vim;    // highlight group
  std::string scope;  // TextMate scope
};
const std::map<std::string_view, Look> looks{{"statement", {"Statement", "keyword.control.sprue"}},
                                             {"inner", {"Keyword", "keyword.other.sprue"}},
                                             {"type", {"Type", "storage.type.sprue"}},
                                             {"aggregate", {"Function", "support.function.aggregate.sprue"}},
                                             {"function", {"Function", "support.function.sprue"}},
                                             {"value", {"Constant", "constant.language.sprue"}},
                                             {"fact", {"Special", "support.constant.sprue"}}};

std::string capitalized(std::string_view word) {
  std::string out(word);
  out[0] = static_cast<char>(out[0] - 'a' + 'A');
  return out;
}

/// Words that stand before one that begins a statement.
constexpr std::string_view modifiers = "abstract final headline basis";

std::string any_of(std::string_view words, std::string_view between) {
  std::string out(words);
  for (std::size_t at = out.find(' '); at != std::string::npos; at = out.find(' ', at + between.size()))
    out.replace(at, 1, between);
  return out;
}

/// Where words of the group stand: statements begin one, functions are called; nothing is behind a dot, in a unit, or
/// the name of what is given.
std::string vim_pattern(const words::Group& group) {
  const std::string words = fmt::format("\\<\\%({}\\)\\>", fmt::join(group.words, "\\|"));
  if (group.name == "statement")
    return fmt::format(R"(\%(\%(^\|[{{,]\|\<\%({}\)\>\)\s*\)\@<={}\%(\s*[:.]\)\@!)", any_of(modifiers, "\\|"), words);
  const std::string free = R"([./*^]\@1<!)" + words;
  return free + (group.name == "function" || group.name == "aggregate" ? R"(\%(\s*(\)\@=)" : R"(\%(\s*:\)\@!)");
}

std::string vim_syntax() {
  std::string out = R"(" Colors of Sprue for Vim and Neovim. Written from the words of the language.
if exists('b:current_syntax') | finish | endif
syntax case match
syntax match sprueNumber "\<\d[0-9_]*\%(\.\d[0-9_]*\)\=\%([eE][-+]\=\d\+\)\=%\="
syntax match sprueDate "\<\d\{4}-\d\d-\d\d\>"
)";
  for (const words::Group& group : words::groups)
    out += fmt::format("syntax match sprue{} +{}+\n", capitalized(group.name), vim_pattern(group));
  out += R"(syntax region sprueString start=+"+ skip=+\\.+ end=+"+ oneline
syntax match sprueComment "#.*$" contains=@Spell
syntax match sprueDoc "##.*$" contains=@Spell
highlight default link sprueNumber Number
highlight default link sprueDate Number
highlight default link sprueString String
highlight default link sprueComment Comment
highlight default link sprueDoc SpecialComment
)";
  for (const words::Group& group : words::groups)
    out += fmt::format("highlight default link sprue{} {}\n", capitalized(group.name), looks.at(group.name).vim);
  return out + "let b:current_syntax = 'sprue'\n";
}

const std::string vim_filetype = "autocmd BufRead,BufNewFile *.sprue setfiletype sprue\n";
const std::string vim_settings = R"(" How Sprue is written.
if exists('b:did_ftplugin') | finish | endif
let b:did_ftplugin = 1
setlocal commentstring=#\ %s comments=:##,:# shiftwidth=2 expandtab
let b:undo_ftplugin = 'setlocal commentstring< comments< shiftwidth< expandtab<'
)";

/// As in vim_pattern, in the regular expressions of TextMate grammars.
std::string textmate_pattern(const words::Group& group) {
  const std::string words = fmt::format("(?:{})\\\\b", fmt::join(group.words, "|"));
  if (group.name == "statement")
    return fmt::format("(?:^|[{{,])\\\\s*((?:(?:{})\\\\s+)*{})(?!\\\\s*[:.])", any_of(modifiers, "|"), words);
  return "(?<![./*^\\\\w])" + words +
         (group.name == "function" || group.name == "aggregate" ? "(?=\\\\s*\\\\()" : "(?!\\\\s*:)");
}

std::string textmate_file() {
  std::string out = R"({
  "name": "Sprue",
  "scopeName": "source.sprue",
  "fileTypes": ["sprue"],
  "patterns": [
    { "name": "comment.line.documentation.sprue", "match": "##.*$" },
    { "name": "comment.line.number-sign.sprue", "match": "#.*$" },
    { "name": "string.quoted.double.sprue", "match": "\"(?:[^\"\\\\]|\\\\.)*\"" },
    { "name": "constant.numeric.date.sprue", "match": "\\b\\d{4}-\\d\\d-\\d\\d\\b" },
    { "name": "constant.numeric.sprue", "match": "\\b\\d[0-9_]*(?:\\.\\d[0-9_]*)?(?:[eE][-+]?\\d+)?%?" })";
  for (const words::Group& group : words::groups) {
    const std::string& scope = looks.at(group.name).scope;
    if (group.name == "statement")
      out += fmt::format(",\n    {{ \"match\": \"{}\", \"captures\": {{ \"1\": {{ \"name\": \"{}\" }} }} }}",
                         textmate_pattern(group), scope);
    else
      out += fmt::format(",\n    {{ \"name\": \"{}\", \"match\": \"{}\" }}", scope, textmate_pattern(group));
  }
  return out + "\n  ]\n}\n";
}

const std::filesystem::path editors = source_dir() / "docs" / "editors";

}  // namespace

TEST_CASE("the files for editors are current", "[serve][editors]") {
  CHECK(golden(editors / "vim/syntax/sprue.vim", vim_syntax()) == vim_syntax());
  CHECK(golden(editors / "vim/ftdetect/sprue.vim", vim_filetype) == vim_filetype);
  CHECK(golden(editors / "vim/ftplugin/sprue.vim", vim_settings) == vim_settings);
  CHECK(golden(editors / "sprue.tmLanguage.json", textmate_file()) == textmate_file());
  CHECK(serve::read_json(textmate_file()));
}

TEST_CASE("every word of the grammar is colored", "[serve][editors]") {
  const std::string page = read(source_dir() / "docs" / "language.md");
  const std::size_t begin = page.find("## 2. Grammar");
  const std::string grammar = page.substr(begin, page.find("```\n", page.find("```", begin) + 3) - begin);
  const std::regex quoted("\"([a-z]+)\"");
  std::size_t count = 0;
  for (auto word = std::sregex_iterator(grammar.begin(), grammar.end(), quoted); word != std::sregex_iterator();
       ++word) {
    INFO((*word)[1].str());
    CHECK(words::is_word_of_the_language((*word)[1].str()));
    ++count;
  }
  CHECK(count > 80);
}

TEST_CASE("Neovim colors the scenarios", "[serve][editors]") {
  const TemporaryFolder folder;
  const auto script = folder.file("look.lua", R"(
local out = {}
local function look(line, word)
  local at = vim.fn.getline(line):find(word, 1, true)
  return vim.fn.synIDattr(vim.fn.synID(line, at, 1), 'name')
end
vim.cmd('edit ' .. vim.env.SPRUE_WORDS)
for line, word in ipairs({'kind', 'unit', 'sum', 'count', 'report', 'first', 'require', 'x'}) do
  out['line ' .. line .. ' ' .. word .. ' ' .. look(line, word)] = true
end
vim.cmd('syntax off')
vim.cmd('syntax on')
out['again ' .. look(1, 'kind')] = true
for _, file in ipairs(vim.fn.glob(vim.env.SPRUE_SCENARIOS .. '/*/*.sprue', false, true)) do
  vim.cmd('edit ' .. file)
  local seen = {}
  for line = 1, vim.fn.line('$') do
    local text = vim.fn.getline(line)
    for _, word in ipairs({'use', 'report', 'expect', 'from', 'quote', '#', '"'}) do
      local at = text:find(word, 1, true)
      if at then
        local before = text:sub(at - 1, at - 1)
        if at == 1 or before == ' ' then
          local name = vim.fn.synIDattr(vim.fn.synID(line, at, 1), 'name')
          seen[word .. ' ' .. name] = true
        end
      end
    end
  end
  for what in pairs(seen) do out[what] = true end
  out['filetype ' .. vim.bo.filetype] = true
  out['commentstring ' .. vim.bo.commentstring] = true
end
local lines = vim.tbl_keys(out)
table.sort(lines)
vim.fn.writefile(lines, vim.env.SPRUE_OUT)
vim.cmd('qall!')
)");
  const auto words =
      folder.file("words.sprue",
                  "kind box {\n  volume: unit = 12_000 unit\n  all: ratio = sum(1, 2)\n  price: ratio = a.count\n"
                  "  report: money = 0.75 EUR/report\n  first: ratio = 2\n  final rest: ratio, require 2 > 1\n"
                  "  years: series = [2 x 3]\n}\n");
  const auto result = folder.path() / "out";
  const Run run =
      shell(folder.path(),
            fmt::format(
                "SPRUE_WORDS='{}' SPRUE_SCENARIOS='{}' SPRUE_OUT='{}' timeout 60 nvim --clean -n --headless --cmd 'set "
                "runtimepath^={}' -c 'luafile {}' 2>&1",
                words.string(), (source_dir() / "scenarios").string(), result.string(), (editors / "vim").string(),
                script.string()));
  INFO(run.out);
  CHECK(run.code == 0);
  CHECK(run.out.find("Error") == std::string::npos);
  const std::string seen = read(result);
  INFO(seen);
  for (const char* const wanted :
       {"use sprueStatement\n", "report sprueStatement\n", "expect sprueStatement\n", "from sprueInner\n",
        "quote sprueFact\n", "line 1 kind sprueStatement\n", "line 2 unit \n", "line 3 sum sprueAggregate\n",
        "line 4 count \n", "line 5 report \n", "line 6 first \n", "line 7 require sprueStatement\n",
        "line 8 x sprueInner\n", "again sprueStatement\n", "# sprueComment\n", "\" sprueString\n", "filetype sprue\n",
        "commentstring # %s\n"})
    CHECK(seen.find(wanted) != std::string::npos);
}
