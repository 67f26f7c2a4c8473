// The commands as data: what every entry of the table owes to those who read it.
#include "app/syntax.h"

#include <set>

#include "support/catch.h"

using namespace lugwise::app;

namespace {

template <class Look>
void walk(const Command& command, const Look& look) {
  look(command);
  for (const Command& within : command.within) walk(within, look);
}

}  // namespace

TEST_CASE("every command that can be typed is answered, has a purpose and examples", "[app]") {
  walk(program(), [](const Command& command) {
    INFO(command.name);
    CHECK((command.answer != nullptr) == command.within.empty());
    CHECK(command.purpose.ends_with("."));
    CHECK((command.hidden || !command.examples().empty()));
    CHECK(command.find_option("--help") != nullptr);
  });
}

TEST_CASE("no name stands twice in one command, nor one thing under two", "[app]") {
  walk(program(), [](const Command& command) {
    INFO(command.name);
    std::set<std::string> names;
    for (const Option& option : command.options) {
      for (const std::string& name : option.names()) CHECK(names.insert(name).second);
      for (const std::string& like : option.like) CHECK(names.insert("--" + like).second);
    }
    std::set<std::string> commands;
    for (const Command& within : command.within) {
      CHECK(commands.insert(within.name).second);
      for (const std::string& like : within.like) CHECK(commands.insert(like).second);
    }
  });
}

TEST_CASE("every option says what it is, and where it goes", "[app]") {
  walk(program(), [](const Command& command) {
    for (const Option& option : command.options) {
      INFO(command.name << ' ' << option.name);
      CHECK(!option.what.empty());
      const bool asks = option.name == "-h,--help" || option.name == "--version";
      CHECK(std::holds_alternative<std::monostate>(option.into) == asks);
      CHECK(std::holds_alternative<bool CommandLine::*>(option.into) == (!asks && !option.takes_value()));
      CHECK(option.least <= option.most);
      CHECK(option.from <= option.to);
      if (option.use != Use::None) CHECK((option.offer == Offer::Files || option.offer == Offer::Folders));
    }
  });
}

TEST_CASE("after what may be given by place again and again, nothing else is given by place", "[app]") {
  walk(program(), [](const Command& command) {
    const auto by_place = command.by_place();
    for (std::size_t i = 0; i + 1 < by_place.size(); ++i) {
      CHECK(by_place[i]->most == 1);
      // What may be left out stands last.
      CHECK((by_place[i]->required || !by_place[i + 1]->required));
    }
  });
}
