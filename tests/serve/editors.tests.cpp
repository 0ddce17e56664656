// The files that color the language in editors are written from its words: docs/editors/sprue.vim and
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

std::string vim_file() {
  std::string out =
      R"(" Sprue in Vim and Neovim: put this file into the `plugin` folder. Written from the words of the language.
if exists('g:loaded_sprue') | finish | endif
let g:loaded_sprue = 1

function! s:syntax() abort
  if exists('b:current_syntax') | return | endif
  syntax case match
  syntax match sprueNumber "\<\d[0-9_]*\%(\.\d[0-9_]*\)\=\%([eE][-+]\=\d\+\)\=%\="
  syntax match sprueDate "\<\d\{4}-\d\d-\d\d\>"
  syntax region sprueString start=+"+ skip=+\\.+ end=+"+ oneline
  syntax match sprueComment "#.*$" contains=@Spell
  syntax match sprueDoc "##.*$" contains=@Spell
)";
  for (const words::Group& group : words::groups)
    out += fmt::format("  syntax keyword sprue{} {}\n", capitalized(group.name), fmt::join(group.words, " "));
  out += R"(  highlight default link sprueNumber Number
  highlight default link sprueDate Number
  highlight default link sprueString String
  highlight default link sprueComment Comment
  highlight default link sprueDoc SpecialComment
)";
  for (const words::Group& group : words::groups)
    out += fmt::format("  highlight default link sprue{} {}\n", capitalized(group.name), looks.at(group.name).vim);
  return out + R"(  let b:current_syntax = 'sprue'
endfunction

augroup sprue
  autocmd!
  autocmd BufRead,BufNewFile *.sprue setfiletype sprue
  autocmd FileType sprue setlocal commentstring=#\ %s comments=:##,:# shiftwidth=2 expandtab
  autocmd Syntax sprue call s:syntax()
augroup END
)";
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
  for (const words::Group& group : words::groups)
    out += fmt::format(",\n    {{ \"name\": \"{}\", \"match\": \"\\\\b(?:{})\\\\b\" }}", looks.at(group.name).scope,
                       fmt::join(group.words, "|"));
  return out + "\n  ]\n}\n";
}

const std::filesystem::path editors = source_dir() / "docs" / "editors";

}  // namespace

TEST_CASE("the files for editors are current", "[serve][editors]") {
  CHECK(golden(editors / "sprue.vim", vim_file()) == vim_file());
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
vim.cmd('source ' .. vim.env.SPRUE_VIM)
local out = {}
for _, file in ipairs(vim.fn.glob(vim.env.SPRUE_SCENARIOS .. '/*/*.sprue', false, true)) do
  vim.cmd('edit ' .. file)
  vim.cmd('doautocmd BufRead')
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
  const auto result = folder.path() / "out";
  const Run run =
      shell(folder.path(), fmt::format("SPRUE_VIM='{}' SPRUE_SCENARIOS='{}' SPRUE_OUT='{}' nvim --clean -n "
                                       "--headless -c 'syntax on' -c 'luafile {}' 2>&1",
                                       (editors / "sprue.vim").string(), (source_dir() / "scenarios").string(),
                                       result.string(), script.string()));
  INFO(run.out);
  CHECK(run.code == 0);
  CHECK(run.out.find("Error") == std::string::npos);
  const std::string seen = read(result);
  INFO(seen);
  for (const char* const wanted :
       {"use sprueStatement\n", "report sprueStatement\n", "expect sprueStatement\n", "from sprueInner\n",
        "quote sprueFact\n", "# sprueComment\n", "\" sprueString\n", "filetype sprue\n", "commentstring # %s\n"})
    CHECK(seen.find(wanted) != std::string::npos);
}
