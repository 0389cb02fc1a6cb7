#include "command/commands.h"

#include <algorithm>
#include <vector>

#include "command/layout.h"
#include "documents/text.h"
#include "tarewise/version.h"

namespace tarewise::command {
namespace {

constexpr const Command* kCommands[] = {&kRankCommand,    &kStaircaseCommand, &kZoneCommand,
                                        &kRepriceCommand, &kCompareCommand,   &kGridCommand,
                                        &kBeginCommand,   &kRenewCommand,     &kCheckCommand};

const Command* Find(std::string_view name) {
  for (const Command* command : kCommands) {
    if (command->name == name) return command;
  }
  return nullptr;
}

int UnknownCommand(std::string_view name, const Console& console) {
  std::vector<std::string_view> names = {"help"};
  for (const Command* command : kCommands) names.push_back(command->name);
  std::string line = "tarewise: found the command " + load::Quoted(name) + ", expected one of ";
  for (std::size_t i = 1; i < names.size(); ++i) line += std::string(names[i]) + ", ";
  line += "help";
  const std::string_view nearest = load::NearestName(name, names);
  if (!nearest.empty()) line += " (the nearest is " + std::string(nearest) + ")";
  console.Error(line);
  return kBadInput;
}

int Help(std::span<const std::string_view> words, Console& console) {
  if (words.empty()) {
    console.Write(HelpText(console.style()));
    return kAnswered;
  }
  if (words.size() > 1) {
    console.Error("tarewise help: found " + std::to_string(words.size()) + " names, expected one command's");
    return kBadInput;
  }
  const Command* command = Find(words.front());
  if (command == nullptr) return UnknownCommand(words.front(), console);
  console.Write(HelpText(console.style(), *command));
  return kAnswered;
}

std::string Text(const Style& style, std::string_view paragraphs, std::size_t indent) {
  std::string out;
  while (!paragraphs.empty()) {
    const std::size_t end = std::min(paragraphs.find('\n'), paragraphs.size());
    out += Paragraph(style, "", indent, paragraphs.substr(0, end));
    paragraphs.remove_prefix(std::min(end + 1, paragraphs.size()));
  }
  return out;
}

}  // namespace

std::span<const Command* const> Commands() { return kCommands; }

std::string HelpText(const Style& style) {
  std::string out =
      Paragraph(style, "", 0,
                "tarewise: the cheapest honest way to send what was sold, to the cent and with reasons, from "
                "the carriers' price lists in a folder of tables.");
  out += "\n";
  for (const Command* command : kCommands) {
    out += Paragraph(style, "  " + std::string(command->name), 14, command->summary);
  }
  out += Paragraph(style, "  help", 14, "tells what a command does and its options: tarewise help rank");
  out += "\n";
  out += Paragraph(style, "", 0,
                   "Exit codes: 0 answered, 1 nothing can be offered, 2 bad input. Errors go to standard error.");
  return out;
}

std::string HelpText(const Style& style, const Command& command) {
  std::string out;
  std::string_view usage = command.usage;
  while (!usage.empty()) {
    const std::size_t end = std::min(usage.find('\n'), usage.size());
    out += style.Paint(Tone::kBest, usage.substr(0, end)) + "\n";
    usage.remove_prefix(std::min(end + 1, usage.size()));
  }
  out += '\n';
  out += Text(style, command.about, 0);
  constexpr std::size_t kIndent = 30;
  for (const Option& option : command.options) {
    if (option.kind == Option::Kind::kHeading) {
      out.append("\n").append(style.Paint(Tone::kHeading, option.name)).append("\n");
      continue;
    }
    std::string head = "  ";
    head += option.name;
    if (!option.value.empty()) head.append(" ").append(option.value);
    if (Columns(head) + 2 > kIndent) {
      out += head + "\n";
      head.clear();
    }
    out += Paragraph(style, head, kIndent, option.help);
  }
  return out;
}

int Run(std::span<const std::string_view> words, Console& console) {
  if (words.empty()) {
    console.Error("tarewise: found no command, expected one:\n");
    console.Error(HelpText(Style{false, console.style().width}));
    return kBadInput;
  }
  const std::string_view name = words.front();
  const std::span<const std::string_view> rest = words.subspan(1);
  if (name == "--version") {
    console.Write("tarewise " TAREWISE_VERSION_STRING "\n");
    return kAnswered;
  }
  if (name == "help" || name == "--help" || name == "-h") return Help(rest, console);
  const Command* command = Find(name);
  if (command == nullptr) return UnknownCommand(name, console);
  const Arguments arguments = Arguments::Read(command->options, rest);
  if (arguments.Has("--help")) {
    console.Write(HelpText(console.style(), *command));
    return kAnswered;
  }
  if (!arguments.errors().empty()) {
    for (const std::string& error : arguments.errors()) {
      console.Error("tarewise " + std::string(command->name) + ": " + error);
    }
    return kBadInput;
  }
  return command->run(arguments, console);
}

}  // namespace tarewise::command
