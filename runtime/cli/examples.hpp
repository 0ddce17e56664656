// Examples of each command, for its manual page. A test runs every one of them.
#pragma once

namespace sprue {

struct Example {
  const char* command;
  const char* line;
  const char* does;  // one sentence without a period
};

inline constexpr Example examples[] = {
    {"check", "sprue check trip.sprue", "Check a file and test what it expects"},
    {"check", "sprue check trip.sprue --figures trip.figures", "Hold the results against those written down before"},
    {"report", "sprue report trip.sprue", "Show the figures of the file itself"},
    {"report", "sprue report trip.sprue --all-scenarios --format html --out trip.html",
     "Write a page with every scenario side by side"},
    {"report", "sprue report trip.sprue --format lines --out trip.figures",
     "Write every figure on a line of its own, to be kept beside the file"},
    {"compare", "sprue compare trip.sprue '#slower'", "Say what a scenario changes, and what each change does"},
    {"compare", "sprue compare main: trip.sprue", "Compare the file with what it was on the branch main"},
    {"drivers", "sprue drivers trip.sprue --most 5", "Rank the five inputs that move the figures most"},
    {"sweep", "sprue sweep trip.sprue --vary 'outing.speed = 40..120 in 5'", "Show the figures at five speeds"},
    {"solve", "sprue solve trip.sprue --for outing.speed --until 'outing.duration <= 2 h'",
     "Find the speed at which the trip takes two hours"},
    {"simulate", "sprue simulate trip.sprue --trials 2_000 --seed 7", "Evaluate two thousand draws from the ranges"},
    {"explain", "sprue explain trip.sprue outing.duration --depth 2", "Open a figure back to its inputs"},
    {"format", "sprue format trip.sprue", "Bring a file into canonical layout"},
    {"format", "sprue format --check trip.sprue", "Say whether it is"},
    {"describe", "sprue describe", "List the modules of the standard library"},
    {"describe", "sprue describe std.units", "Show the reference of one of them"},
    {"serve", "sprue serve", "Wait for the editor that started it"},
    {"dump", "sprue dump graph trip.sprue", "Show the graph that a file is evaluated as"},
};

}  // namespace sprue
