#include "completion.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <optional>
#include <ostream>
#include <utility>

#include "circuit/setting.h"
#include "command.h"
#include "component/colour.h"
#include "fault/fault.h"
#include "fault/naming.h"
#include "file.h"
#include "intake/netlist.h"
#include "meter/meter.h"

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
    case ${lines[0]} in
      words) typed=$(printf %q "$typed") ;;
      single) typed=${typed//\'/\'\\\'\'} ;;
      double)
        # Nothing in it may be expanded; a '!' can't be kept from it there.
        [[ $typed == *!* ]] && continue
        typed=${typed//\\/\\\\}
        typed=${typed//\"/\\\"}
        typed=${typed//\$/\\\$}
        typed=${typed//\`/\\\`}
        ;;
    esac
    COMPREPLY+=("$typed")
  done
}
complete -F _lugwise lugwise
)sh";

constexpr std::string_view kZsh = R"sh(#compdef lugwise
# What the tab key offers after lugwise, in zsh: source <(lugwise completion zsh), or a file _lugwise in $fpath.
_lugwise() {
  local -a lines offered shown
  local line word typed=$PREFIX
  # As it is without quotes. Within single ones a backslash is itself, and an apostrophe is written outside of them.
  case $compstate[quote] in
    \') typed=${typed//\'\\\'\'/\'} ;;
    \") typed=${(Q):-\"$typed\"} ;;
    *) typed=${(Q)typed} ;;
  esac
  lines=("${(@f)$($words[1] completion words "${(@Q)words[2,CURRENT-1]}" "$typed" 2>/dev/null)}")
  if [[ $lines[1] == files ]]; then
    _files
    return
  fi
  for line in "${(@)lines[2,-1]}"; do
    word=${line%%$'\t'*}
    typed=${line/$'\t'/  -- }
    case $compstate[quote] in
      \') word=${word//\'/\'\\\'\'} ;;
      \")
        # A '!' can't be kept from the history there.
        [[ $word == *!* ]] && continue
        word=${word//\\/\\\\}
        word=${word//\"/\\\"}
        word=${word//\$/\\\$}
        word=${word//\`/\\\`}
        ;;
      *) word=${(q)word} ;;
    esac
    shown+=("$typed")
    offered+=("$word")
  done
  compadd -U -Q -l -d shown -a offered
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
  # As it is without backslashes and quotes; with a quote still open, as it stands.
  set -l begun (string unescape -- (commandline -ct)); or set begun (commandline -ct)
  set -l lines ($typed[1] completion words $typed[2..-1] "$begun" 2>/dev/null)
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
      setting.pull_plug(control);
      offer(setting);
    }
  }
  return plain(std::move(places));
}

// What a value may be; nothing for what anybody may choose freely.
struct Offered {
  bool files = false;
  std::vector<Word> words;
};
Offered offered_for(const Option& option, const std::string& harness_file) {
  Offered offered;
  if (!option.choices.empty()) {
    offered.words = plain(option.choices);
    return offered;
  }
  const auto of_netlist = [&](auto names) {
    if (const auto netlist = netlist_in(harness_file)) offered.words = names(netlist->harness);
  };
  switch (option.offer) {
    case Offer::Nothing:
      break;
    case Offer::Files:
    case Offer::Folders:
      offered.files = true;
      break;
    case Offer::Points:
      of_netlist(points_of);
      break;
    case Offer::Places:
      of_netlist([](const Harness& harness) {
        std::vector<Word> places;
        for (const Part& part : harness.parts()) places.emplace_back(part.name, "");
        for (Word& point : points_of(harness)) places.push_back(std::move(point));
        return places;
      });
      break;
    case Offer::Settings:
      of_netlist(places_of);
      break;
    case Offer::Stages:
      of_netlist([](const Harness& harness) {
        std::vector<Word> stages;
        for (const Stage& stage : harness.stages()) stages.emplace_back(stage.name, "");
        return stages;
      });
      break;
    case Offer::Ranges:
      for (const Range& range : assumed_meter().ranges) offered.words.emplace_back(range_name(range.top), "");
      break;
    case Offer::Faults:
      of_netlist([](const Harness& harness) {
        std::vector<Word> faults;
        for (const Fault& fault : faults_of(harness)) faults.emplace_back(in_words(harness, fault), "");
        for (const Fault& fault : faults_of(harness))
          faults.emplace_back(fault_id(harness, fault), in_words(harness, fault));
        return faults;
      });
      break;
    case Offer::Colours:
      for (const Colour colour : kAllColours) offered.words.emplace_back(colour_name(colour), "");
      break;
  }
  return offered;
}

const Command* command_called(const Command& command, const std::string& word) {
  const Command* within = command.find(word);
  return within && !within->hidden ? within : nullptr;
}

const Option* option_called(const Command& command, const std::string& word) {
  return command.find_option(word.substr(0, word.find('=')));
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

namespace {

// A command line up to the word that is being typed.
struct Begun {
  const Command* command = nullptr;
  const Option* awaited = nullptr;  // its value comes next
  std::vector<std::string> places;  // values that belong to no option
  bool options_end = false;
};

Begun follow(const Command& program, const std::vector<std::string>& typed) {
  Begun begun;
  begun.command = &program;
  std::size_t values = 0;  // how many more of them
  for (std::size_t i = 0; i + 1 < typed.size(); ++i) {
    const std::string& word = typed[i];
    if (begun.awaited) {
      if (--values == 0) begun.awaited = nullptr;
    } else if (begun.options_end || !word.starts_with("-") || word == "-") {
      const Command* within = command_called(*begun.command, word);
      if (begun.places.empty() && within) {
        begun.command = within;
      } else {
        begun.places.push_back(word);
      }
    } else if (word == "--") {
      begun.options_end = true;
    } else if (const Option* option = option_called(*begun.command, word)) {
      if (!option->takes_value() || word.find('=') != std::string::npos) continue;
      begun.awaited = option;
      values = option->least;
    }
  }
  return begun;
}

// Every option by its names, and with each of its forms.
std::vector<Word> options_of(const Command& command) {
  std::vector<Word> words;
  for (const Option& option : command.options) {
    if (option.by_place()) continue;
    for (const std::string& name : option.names()) words.emplace_back(name, option.what);
    if (!option.form) continue;
    for (const std::string& choice : option.choices)
      words.emplace_back(option.longest_name() + "=" + choice, option.what);
  }
  return words;
}

Offered offered_at(const Begun& begun, const std::string& current) {
  const Command& command = *begun.command;
  const std::vector<const Option*> by_place = command.by_place();
  const bool named = !by_place.empty() && by_place[0]->name == "HARNESS" && !begun.places.empty();
  const std::string harness = named ? begun.places[0] : "";
  Offered offered;
  if (begun.awaited) return offered_for(*begun.awaited, harness);
  if (!begun.options_end && current.starts_with("--") && current.find('=') != std::string::npos) {
    const Option* option = option_called(command, current);
    if (option && option->takes_value()) offered = offered_for(*option, harness);
    const std::string before = current.substr(0, current.find('=') + 1);
    for (auto& [word, meaning] : offered.words) word.insert(0, before);
  } else if (!begun.options_end && current.starts_with("-")) {
    offered.words = options_of(command);
  } else if (const auto commands = command.shown(); !commands.empty()) {
    for (const Command* one : commands) offered.words.emplace_back(one->name, one->purpose);
  } else if (!by_place.empty()) {
    // The last one may be given again and again.
    const bool repeats = by_place.back()->most > 1;
    const std::size_t count = begun.places.size();
    const std::size_t place = repeats ? std::min(count, by_place.size() - 1) : count;
    if (place < by_place.size()) offered = offered_for(*by_place[place], harness);
  }
  return offered;
}

}  // namespace

std::string words_for(const Command& program, const std::vector<std::string>& typed) {
  const std::string current = typed.empty() ? "" : typed.back();
  const Offered offered = offered_at(follow(program, typed), current);
  if (offered.files) return "files\n";
  std::string text = "words\n";
  for (const auto& [word, meaning] : offered.words) {
    if (!word.starts_with(current)) continue;
    text += meaning.empty() ? word + '\n' : fmt::format("{}\t{}\n", word, meaning);
  }
  return text;
}

std::string offered(const Command& program, const std::vector<std::string>& words, bool whole_line) {
  if (!whole_line) return words_for(program, words);
  Typed typed = split(words.empty() ? "" : words.front());
  typed.words.erase(typed.words.begin());
  if (typed.words.empty()) typed.words.emplace_back();
  std::string text = words_for(program, typed.words);
  text.insert(text.find('\n') + 1, typed.words.back() + '\n');
  if (typed.quote == 0 || !text.starts_with("words")) return text;
  return (typed.quote == '"' ? "double" : "single") + text.substr(5);
}

ExitCode completion_command(Run& run) {
  run.out << completion_script(run.line.shell);
  return ExitCode::Well;
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
  return {words, quote};
}

}  // namespace lugwise::app
