// A greedy list scheduler; each value is looked at a bounded number of times for each use.
#include "runtime/machine/schedule.hpp"

namespace sprue {
namespace {

Dependencies reversed(const Dependencies& dependencies) {
  const std::size_t size = dependencies.size();
  Dependencies users;
  users.first.assign(size + 1, 0);
  users.of.resize(dependencies.of.size());
  for (const std::uint32_t operand : dependencies.of) ++users.first[operand + 1];
  for (std::size_t i = 0; i < size; ++i) users.first[i + 1] += users.first[i];
  std::vector<std::uint32_t> next(users.first.begin(), users.first.end() - 1);
  for (std::uint32_t user = 0; user < size; ++user) {
    for (const std::uint32_t operand : dependencies[user]) users.of[next[operand]++] = user;
  }
  return users;
}

class Scheduler {
 public:
  Scheduler(const Dependencies& dependencies, const std::vector<bool>& kept)
      : operands_(dependencies),
        users_(reversed(dependencies)),
        kept_(kept),
        missing_(dependencies.size()),
        uses_left_(dependencies.size()),
        done_(dependencies.size(), false) {
    for (std::uint32_t i = 0; i < operands_.size(); ++i) {
      missing_[i] = static_cast<std::uint32_t>(operands_[i].size());
      uses_left_[i] = static_cast<std::uint32_t>(users_[i].size());
    }
    order_.reserve(operands_.size());
  }

  std::vector<std::uint32_t> run() {
    for (std::uint32_t i = 0; i < operands_.size(); ++i) {
      emit(i);
      while (!candidates_.empty()) {
        const std::uint32_t candidate = candidates_.back();
        candidates_.pop_back();
        emit(candidate);
      }
    }
    return std::move(order_);
  }

 private:
  void emit(std::uint32_t value) {
    if (done_[value]) return;
    done_[value] = true;
    order_.push_back(value);
    for (const std::uint32_t operand : operands_[value]) {
      if (--uses_left_[operand] == 1) consider_last_user(operand);
    }
    for (const std::uint32_t user : users_[value]) {
      if (--missing_[user] == 0) consider(user);
    }
  }

  void consider_last_user(std::uint32_t operand) {
    for (const std::uint32_t user : users_[operand]) {
      if (!done_[user] && missing_[user] == 0) candidates_.push_back(user);
    }
  }

  void consider(std::uint32_t value) {
    bool worth = kept_[value];
    for (const std::uint32_t operand : operands_[value]) worth = worth || (!kept_[operand] && uses_left_[operand] == 1);
    if (worth) candidates_.push_back(value);
  }

  const Dependencies& operands_;
  const Dependencies users_;
  const std::vector<bool>& kept_;
  std::vector<std::uint32_t> missing_;    // operands not yet computed
  std::vector<std::uint32_t> uses_left_;  // users not yet computed
  std::vector<bool> done_;
  std::vector<std::uint32_t> candidates_;
  std::vector<std::uint32_t> order_;
};

}  // namespace

std::vector<std::uint32_t> schedule(const Dependencies& dependencies, const std::vector<bool>& kept) {
  return Scheduler(dependencies, kept).run();
}

}  // namespace sprue
