// Keys of headlines.
#include "runtime/study/headlines.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <map>

namespace sprue {

std::vector<HeadlineKey> headline_keys(const Program& program, const Lowered& lowered) {
  std::vector<HeadlineKey> keys;
  std::map<std::string, int> seen;
  for (const Headline& headline : lowered.headlines) {
    const Instance& instance = lowered.instances.all[headline.instance];
    const Kind& kind = program.kinds[instance.kind];
    const std::string_view name = program.text(kind.fields[headline.slot].name);
    keys.push_back({fmt::format("{}.{}", lowered.instances.path(program, headline.instance), name),
                    fmt::format("{}.{}", program.text(kind.name), name)});
    ++seen[keys.back().field];
  }
  for (HeadlineKey& key : keys) {
    if (seen[key.field] > 1) key.field.clear();
  }
  return keys;
}

std::uint32_t find_headline(const std::vector<HeadlineKey>& keys, const HeadlineKey& wanted) {
  const auto index = [&](auto&& matches) {
    const auto found = std::find_if(keys.begin(), keys.end(), matches);
    return found == keys.end() ? none : static_cast<std::uint32_t>(found - keys.begin());
  };
  const std::uint32_t by_path = index([&](const HeadlineKey& key) { return key.path == wanted.path; });
  if (by_path != none || wanted.field.empty()) return by_path;
  return index([&](const HeadlineKey& key) { return key.field == wanted.field; });
}

}  // namespace sprue
