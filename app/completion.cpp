#include "completion.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <optional>
#include <utility>

#include "circuit/setting.h"
#include "command.h"
#include "file.h"
#include "help.h"
#include "intake/netlist.h"
#include "meter/meter.h"
#include "study/study.h"

namespace lugwise::app {
namespace {

// Bash splits words at '=' and ':' too, so it is given what stands behind the last of these only.
constexpr std::string_view kBash =
    R"sh(# What the tab key offers after lugwise, in bash: source <(lugwise completion bash)
_lugwise() {
  local lines typed head='' i
  COMPREPLY=()
  mapfile -t lines < <("$1" completion line "${COMP_LINE:0:COMP_POINT}" 2>/dev/null)
  if [[ ${lines[0]} == files ]]; then
    compopt -o default
    return
  fi
  typed=${lines[1]}
  if [[ -n $2 && $typed == *"$2" ]]; then
    head=${typed%"$2"}
  elif [[ -z $2 ]]; then
    head=$typed
  fi
  for ((i = 2; i < ${#lines[@]}; ++i)); do
    typed=${lines[i]%%$'\t'*}
    typed=${typed#"$head"}
    [[ ${lines[0]} == quoted ]] || typed=$(printf %q "$typed")
    COMPREPLY+=("$typed")
  done
}
complete -F _lugwise lugwise
)sh";

constexpr std::string_view kZsh = R"sh(#compdef lugwise
# What the tab key offers after lugwise, in zsh: source <(lugwise completion zsh), or a file _lugwise in $fpath.
_lugwise() {
  local -a lines offered
  local line
  lines=("${(@f)$($words[1] completion words "${(@Q)words[2,CURRENT-1]}" "${(Q)PREFIX}" 2>/dev/null)}")
  if [[ $lines[1] == files ]]; then
    _files
    return
  fi
  for line in "${(@)lines[2,-1]}"; do
    offered+=("${${line%%$'\t'*}//:/\\:}${${(M)line%%$'\t'*}:+}${${line#*$'\t'}:+:${line#*$'\t'}}")
  done
  _describe lugwise offered
}
if [[ $zsh_eval_context[-1] == loadautofunc ]]; then
  _lugwise "$@"
else
  compdef _lugwise lugwise
fi
)sh";

constexpr std::string_view kFish =
    R"sh(# What the tab key offers after lugwise, in fish: lugwise completion fish | source
function __lugwise_offer
  set -l typed (commandline -opc)
  set -l lines ($typed[1] completion words $typed[2..-1] (commandline -ct) 2>/dev/null)
  if test "$lines[1]" = files
    __fish_complete_path (commandline -ct)
  else
    printf '%s\n' $lines[2..-1]
  end
end
complete -c lugwise -f -a '(__lugwise_offer)'
)sh";

constexpr std::pair<std::string_view, std::string_view> kScripts[] = {
    {"bash", kBash}, {"zsh", kZsh}, {"fish", kFish}};

using Word = std::pair<std::string, std::string>;  // and what it means, or nothing

std::vector<Word> plain(std::vector<std::string> words) {
  std::vector<Word> offered;
  for (std::string& word : words) offered.emplace_back(std::move(word), "");
  return offered;
}

// The netlist that was typed, for its names. A pipe would wait for somebody to write.
std::optional<Netlist> netlist_in(const std::string& file) {
  std::error_code error;
  if (!std::filesystem::is_regular_file(file, error)) return std::nullopt;
  try {
    Diagnostics problems(file);
    return read_netlist(read_file(file), problems);
  } catch (const BadInput&) {
    return std::nullopt;
  }
}

std::vector<Word> points_of(const Harness& harness) {
  std::vector<std::string> names;
  for (const std::string& name : harness.point_names()) {
    const auto point = harness.find_point(name);
    if (point && harness.probeable(*point)) names.push_back(name);
  }
  return plain(std::move(names));
}

// "volume=0", "selector=both", "jack=out".
std::vector<Word> places_of(const Harness& harness) {
  std::vector<std::string> places;
  for (PartId control : harness.controls()) {
    const Part& part = harness[control];
    const auto offer = [&](const Setting& setting) {
      std::string place = part.name + "=" + setting.place_name(harness, control);
      if (std::find(places.begin(), places.end(), place) == places.end()) places.push_back(std::move(place));
    };
    Setting setting(harness);
    offer(setting);
    if (part.pot) {
      for (double knob : {0.0, 10.0}) {
        setting.turn(control, knob);
        offer(setting);
      }
    }
    for (std::uint16_t i = 0; i < part.positions.size(); ++i) {
      setting.select(control, i);
      offer(setting);
    }
    if (part.kind == PartKind::Jack) {
      setting.plug(control, false);
      offer(setting);
    }
  }
  return plain(std::move(places));
}

// What a value may be, by what the page of help calls it; nothing for what anybody may choose freely.
struct Offer {
  bool files = false;
  std::vector<Word> words;
};
Offer offer_for(const std::string& called, const std::string& harness_file) {
  Offer offer;
  if (called == "FILE" || called == "HARNESS" || called == "READINGS") {
    offer.files = true;
  } else if (called == "DEPTH") {
    offer.words = plain({"outside", "full"});
  } else if (called == "ground") {
    offer.words = plain({"ground"});
  } else if (called == "KIND") {
    for (const Ills ills : {Ills::Mixed, Ills::None, Ills::Any, Ills::Open, Ills::High, Ills::Short,
                            Ills::Value, Ills::Worn, Ills::Misplaced})
      offer.words.emplace_back(ills_name(ills), "");
  } else if (called == "FAMILY") {
    offer.words = plain({"nominal", "formula"});
  } else if (called == "SHELL") {
    offer.words = plain(shells());
  } else if (called == "RANGE") {
    for (const Range& range : assumed_meter().ranges) offer.words.emplace_back(range_name(range.top), "");
  } else if (called == "POINT" || called == "OTHER" || called == "POINT OTHER") {
    if (const auto netlist = netlist_in(harness_file)) offer.words = points_of(netlist->harness);
  } else if (called == "PLACE") {
    if (const auto netlist = netlist_in(harness_file)) {
      for (const Part& part : netlist->harness.parts()) offer.words.emplace_back(part.name, "");
      for (Word& point : points_of(netlist->harness)) offer.words.push_back(std::move(point));
    }
  } else if (called == "CONTROL=PLACE") {
    if (const auto netlist = netlist_in(harness_file)) offer.words = places_of(netlist->harness);
  } else if (called == "STAGE") {
    if (const auto netlist = netlist_in(harness_file)) {
      for (const Stage& stage : netlist->harness.stages()) offer.words.emplace_back(stage.name, "");
    }
  } else if (called == "COLOUR") {
    offer.words = plain({"black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey",
                         "white", "gold", "silver"});
  }
  return offer;
}

bool takes_value(const CLI::Option& option) { return option.get_type_size() != 0; }

const CLI::App* command_called(const CLI::App& app, const std::string& word) {
  for (const CLI::App* command : commands_of(app)) {
    if (command->get_name() == word) return command;
  }
  return nullptr;
}

const CLI::Option* option_called(const CLI::App& app, const std::string& word) {
  const std::string name = word.substr(0, word.find('='));
  return name.starts_with("-") && name.size() > 1 ? app.get_option_no_throw(name) : nullptr;
}

}  // namespace

std::string_view completion_script(std::string_view shell) {
  for (const auto& [name, script] : kScripts) {
    if (name == shell) return script;
  }
  return {};
}

std::vector<std::string> shells() {
  std::vector<std::string> names;
  for (const auto& [name, script] : kScripts) names.emplace_back(name);
  return names;
}

std::string words_for(const CLI::App& root, const std::vector<std::string>& typed) {
  const std::string current = typed.empty() ? "" : typed.back();
  const CLI::App* app = &root;
  const CLI::Option* awaited = nullptr;  // its value comes next
  int values = 0;                        // how many more of them
  std::vector<std::string> places;       // values that belong to no option
  bool options_end = false;
  for (std::size_t i = 0; i + 1 < typed.size(); ++i) {
    const std::string& word = typed[i];
    if (awaited) {
      if (--values == 0) awaited = nullptr;
    } else if (options_end || !word.starts_with("-") || word == "-") {
      const CLI::App* within = command_called(*app, word);
      if (places.empty() && within) {
        app = within;
      } else {
        places.push_back(word);
      }
    } else if (word == "--") {
      options_end = true;
    } else if (const CLI::Option* option = option_called(*app, word)) {
      if (!takes_value(*option) || word.find('=') != std::string::npos) continue;
      awaited = option;
      values = std::max(1, option->get_items_expected_min());
    }
  }

  const std::vector<const CLI::Option*> positionals =
      app->get_options([](const CLI::Option* o) { return o->get_positional(); });
  const std::string harness =
      !positionals.empty() && positionals[0]->get_name(true) == "HARNESS" && !places.empty() ? places[0] : "";
  Offer offer;
  std::string before;  // what stays before each word
  const std::size_t equals = current.find('=');
  if (awaited) {
    offer = offer_for(awaited->get_type_name(), harness);
  } else if (!options_end && current.starts_with("--") && equals != std::string::npos) {
    const CLI::Option* option = option_called(*app, current);
    if (option && takes_value(*option)) offer = offer_for(option->get_type_name(), harness);
    before = current.substr(0, equals + 1);
  } else if (!options_end && current.starts_with("-")) {
    for (const CLI::Option* option :
         app->get_options([](const CLI::Option* o) { return !o->get_positional(); })) {
      for (const std::string& name : option->get_lnames())
        offer.words.emplace_back("--" + name, option->get_description());
      for (const std::string& name : option->get_snames())
        offer.words.emplace_back("-" + name, option->get_description());
    }
  } else if (const auto commands = commands_of(*app); !commands.empty()) {
    for (const CLI::App* command : commands)
      offer.words.emplace_back(command->get_name(), command->get_description());
  } else if (!positionals.empty()) {
    // The last one may be given again and again.
    const bool repeats = positionals.back()->get_expected_max() > 1;
    const std::size_t place = repeats ? std::min(places.size(), positionals.size() - 1) : places.size();
    if (place < positionals.size()) offer = offer_for(positionals[place]->get_name(true), harness);
  }

  if (offer.files) return "files\n";
  std::string text = "words\n";
  for (const auto& [word, meaning] : offer.words) {
    const std::string whole = before + word;
    if (!whole.starts_with(current)) continue;
    text += meaning.empty() ? whole + '\n' : fmt::format("{}\t{}\n", whole, meaning);
  }
  return text;
}

Typed split(std::string_view line) {
  std::vector<std::string> words;
  std::string word;
  bool begun = false;
  char quote = 0;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (quote != 0 && c == quote) {
      quote = 0;
    } else if (quote == '\'') {
      word += c;
    } else if (c == '\\' && i + 1 < line.size()) {
      word += line[++i];
      begun = true;
    } else if (quote != 0) {
      word += c;
    } else if (c == '\'' || c == '"') {
      quote = c;
      begun = true;
    } else if (c == ' ' || c == '\t' || c == '\n') {
      if (begun) words.push_back(std::exchange(word, {}));
      begun = false;
    } else {
      word += c;
      begun = true;
    }
  }
  words.push_back(word);
  return {words, quote != 0};
}

}  // namespace lugwise::app
