// Evaluates programs that lie between two versions: some changes made, others not. What the compiler makes of their
// text decides which exist. Changes of plain values share one graph and are evaluated as lanes of it.
#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <vector>

#include "lang/check/load.hpp"
#include "runtime/study/changes.hpp"
#include "runtime/study/headlines.hpp"

namespace sprue {

/// Which groups of changes are made.
using Subset = std::vector<bool>;

/// The headlines asked for; nothing where no sound program has just these changes.
using Worth = std::optional<std::vector<double>>;

struct BetweenCounters {
  std::size_t compiled = 0;  // programs
  std::size_t lanes = 0;
};

class Between {
 public:
  /// `library` finds built-in modules. A headline that is unknown somewhere makes the program there count as unsound.
  Between(const Changes& changes, std::vector<HeadlineKey> headlines, Loader library);
  ~Between();

  /// Groups of indices into Changes::list that are made together.
  void set_groups(std::vector<std::vector<std::uint32_t>> groups);
  std::size_t groups() const { return groups_.size(); }
  /// Whether the group changes plain values only, so that all its subsets share a graph. Compiles a program.
  bool only_values(std::uint32_t group);

  Worth one(const Subset& made);
  /// As one() for each, in few compilations.
  std::vector<Worth> all(const std::vector<Subset>& subsets);

  const BetweenCounters& counters() const { return counters_; }

 private:
  struct Compiled;
  std::vector<bool> changed(const Subset& made) const;
  std::unique_ptr<Compiled> compile(const Subset& made);
  std::vector<Worth> share_graph(const Subset& structure, const std::vector<Subset>& subsets);

  const Changes& changes_;
  std::vector<HeadlineKey> headlines_;
  Loader library_;
  std::vector<std::vector<std::uint32_t>> groups_;
  std::vector<int> only_values_;              // by group: -1 not yet known
  std::unique_ptr<Compiled> first_;           // none made
  std::map<std::vector<bool>, Worth> known_;  // by the changes made
  std::mutex mutex_;                          // of known_ and what follows
  BetweenCounters counters_;
};

}  // namespace sprue
