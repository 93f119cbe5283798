#include <memory>
#include <ostream>

#include "app/subcommands.h"
#include "import/fields.h"

namespace lastreach {
namespace {

std::string LongOptions(const CLI::App& command) {
  std::string words;
  for (const CLI::Option* option : command.get_options()) {
    for (const std::string& name : option->get_lnames()) words += " --" + name;
  }
  return words;
}

std::string KindsOfSheets() {
  std::string words = "network";
  for (const std::string& word : WordsForKinds()) words += " " + word;
  return words;
}

// Commands first, then each command's own options, files everywhere else.
std::string BashScript(const CLI::App& app) {
  std::string commands;
  std::string cases;
  for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; })) {
    commands += " " + command->get_name();
    cases += "    " + command->get_name() + ") options='" + LongOptions(*command) + "' ;;\n";
  }
  return "_lastreach() {\n"
         "  local word=\"${COMP_WORDS[COMP_CWORD]}\" options=''\n"
         "  if [ \"$COMP_CWORD\" -eq 1 ]; then\n"
         "    COMPREPLY=($(compgen -W '" +
         commands +
         " --help --version' -- \"$word\")); return\n"
         "  fi\n"
         "  case \"${COMP_WORDS[1]}\" in\n" +
         cases +
         "  esac\n"
         "  if [ \"${COMP_WORDS[COMP_CWORD-1]}\" = --as ]; then\n"
         "    COMPREPLY=($(compgen -W '" +
         KindsOfSheets() +
         "' -- \"$word\")); return\n"
         "  fi\n"
         "  case \"$word\" in\n"
         "    -*) COMPREPLY=($(compgen -W \"$options\" -- \"$word\")) ;;\n"
         "    *) COMPREPLY=($(compgen -f -- \"$word\")) ;;\n"
         "  esac\n"
         "}\n"
         "complete -o filenames -F _lastreach lastreach\n";
}

}  // namespace

void AddCompletionCommand(CLI::App& app, Surroundings& around, Action& action) {
  auto* command = app.add_subcommand(
      "completion", "Prints a completion script for the shell (bash; zsh with bashcompinit)");
  command->footer("\n  source <(lastreach completion)");
  command->callback([&app, &around, &action] {
    action = [&app, &around]() -> Result<int> {
      around.out << BashScript(app);
      return 0;
    };
  });
}

}  // namespace lastreach
