// `sprue dump`: what each stage made of a file, for developers and tests.
#include <fmt/format.h>

#include "lang/graph/builder.hpp"
#include "lang/source/visible.hpp"
#include "lang/syntax/parse.hpp"
#include "runtime/cli/workspace.hpp"

namespace sprue {
namespace {

void dump_model(const Program& program, const Instances& instances, std::ostream& out) {
  for (InstanceId id = 0; id < instances.size(); ++id) {
    const Instance& instance = instances.all[id];
    const Kind& kind = program.kinds[instance.kind];
    out << fmt::format("{} {}\n", program.text(kind.name), instances.path(program, id));
    for (Slot slot = 0; slot < kind.fields.size(); ++slot) {
      const Given* given = instances.given(id, slot);
      if (given != nullptr)
        out << fmt::format("  {}{}{}\n", program.text(kind.fields[slot].name), given->literal ? " fact" : " formula",
                           given->unknown ? " unknown" : "");
    }
  }
}

void dump_graph(const Lowered& lowered, std::ostream& out) {
  for (GraphId id = 0; id < lowered.graph.size(); ++id) {
    const GraphNode& node = lowered.graph.nodes[id];
    std::string operands;
    if (node.op == Op::constant) {
      operands = fmt::format(" {}", lowered.graph.constants[node.a]);
    } else if (node.op == Op::input) {
      operands = fmt::format(" #{} {}", node.a, lowered.graph.inputs[node.a]);
    } else {
      for_each_operand(lowered.graph, node, [&](GraphId operand) { operands += fmt::format(" %{}", operand); });
    }
    out << fmt::format("%{} = {}{}{}\n", id, info(node.op).name, operands,
                       (lowered.marks[id] & mark_incomplete) != 0 ? " incomplete" : "");
  }
}

}  // namespace

int run_dump(const DumpOptions& options, Streams streams) {
  Workspace workspace;
  workspace.open(options.file, streams);
  if (!workspace.readable) return exit_unusable;
  const Program& program = workspace.program;
  if (options.stage == "tree") {
    streams.out << visible(dump(program.trees.front(), workspace.sources, program.symbols), true);
    workspace.print_diagnostics(streams);
    return workspace.diagnostics.has_errors() ? exit_unusable : exit_fine;
  }
  if (!program.sound) {
    workspace.print_diagnostics(streams);
    return exit_unusable;
  }
  const auto scenario = workspace.scenario(options.scenario, streams);
  if (!scenario) return exit_unusable;
  if (options.stage == "model") {
    dump_model(program, freeze(program, *scenario), streams.out);
    return exit_fine;
  }
  const Lowered lowered = lower(program, *scenario, {}, workspace.diagnostics);
  dump_graph(lowered, streams.out);
  workspace.print_diagnostics(streams);
  return lowered.sound ? exit_fine : exit_unusable;
}

}  // namespace sprue
