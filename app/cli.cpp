#include "cli.h"

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include <algorithm>
#include <cmath>
#include <exception>
#include <filesystem>
#include <functional>
#include <iterator>
#include <memory>
#include <new>
#include <ostream>
#include <sstream>

#include "command.h"
#include "completion.h"
#include "exit_code.h"
#include "file.h"
#include "help.h"
#include "intake/value.h"
#include "manual.h"
#include "network/network.h"
#include "page/text.h"
#include "source/nearest.h"

namespace lugwise::app {
namespace {

// Columns that a text may be set in.
constexpr double kNarrowest = 40;
constexpr double kWidest = 1000;

constexpr const char* kProgram = "lugwise " LUGWISE_VERSION;

class Parser {
 public:
  Parser() {
    app_.name("lugwise");
    app_.description("What an ohmmeter should show in a guitar's wiring, and which joint is bad.");
    app_.formatter(std::make_shared<HelpPage>());
    app_.require_subcommand(1);
    app_.set_help_flag("-h,--help", "show this page")->group(kOutput);
    app_.set_version_flag("--version", kProgram, "show the version")->group(kOutput);
    app_.footer(
        "examples\n"
        "  lugwise plan fernhollow-2.yaml\n"
        "  lugwise plan fernhollow-2.yaml --html -o sheet.html\n"
        "  lugwise diagnose fernhollow-2.yaml jobs/fernhollow-2-silent-front.yaml\n"
        "\n"
        "exit codes\n"
        "  0 all well, 1 a fault was found or the answer is unsure, 2 wrong usage,\n"
        "  3 bad input, 4 a failure of lugwise itself\n");
    add_check();
    add_expect();
    add_faults();
    add_plan();
    add_diagnose();
    add_guide();
    add_study();
    add_convert();
    add_draw();
    add_completion();
    add_manual();
  }

  void parse(std::vector<std::string> args) {
    std::reverse(args.begin(), args.end());  // as CLI11 wants them
    app_.parse(args);
    read_form();
    if (!line_.probes.empty()) {
      line_.a = line_.probes[0];
      line_.b = line_.probes[1];
    }
    line_.depth_given = depth_of_guide_->count() > 0;
    if (!temperature_.empty()) line_.temperature = read_celsius("--temperature", temperature_);
    if (line_.conversion == "temperature") {
      line_.from = read_celsius("--from", from_);
      line_.to = read_celsius("--to", to_);
    }
    if (command() == "completion" && completion_script(line_.shell).empty()) {
      throw WrongUsage{
          fmt::format("there is a script for {}, not for '{}'", fmt::join(shells(), ", "), line_.shell)};
    }
    if (!line_.walk.empty() && line_.walk != "ground")
      throw WrongUsage{fmt::format("--walk: write 'ground', not '{}'", line_.walk)};
    if (line_.thorough && line_.quick) throw WrongUsage{"--thorough and --quick don't go together"};
    if (line_.depth != "outside" && line_.depth != "full") {
      throw WrongUsage{fmt::format("--depth: write 'outside' or 'full', not '{}'", line_.depth)};
    }
  }

  // What is wrong with a command line that could not be parsed, with the nearest names where one is unknown.
  std::string explain(const std::vector<std::string>& args, const CLI::ParseError& error) const {
    std::vector<std::string> names;
    for (const CLI::App* command :
         chosen().get_subcommands([](const CLI::App* one) { return !one->get_group().empty(); })) {
      names.push_back(command->get_name());
    }
    const bool choosing = !names.empty();  // a command, or one within it
    if (choosing) {
      std::vector<std::string> words;
      std::copy_if(args.begin(), args.end(), std::back_inserter(words),
                   [](const std::string& arg) { return !arg.starts_with("-"); });
      const std::size_t known = chain().size();
      if (words.size() > known) {
        return fmt::format(
            "no such command: '{}'; {}",
            fmt::join(words.begin(), words.begin() + static_cast<std::ptrdiff_t>(known) + 1, " "),
            near(words[known], names));
      }
    }
    if (const std::string wrong = unknown_option(args); !wrong.empty()) return wrong;
    if (choosing) {
      return fmt::format("{} is needed: {}", chain().empty() ? "a command" : "one of these",
                         fmt::join(names, ", "));
    }
    // `--stage= x.yaml` takes the next word for its value.
    for (const std::string& arg : args) {
      if (!arg.starts_with("--") || arg.find('=') != arg.size() - 1) continue;
      const CLI::Option* option = chosen().get_option_no_throw(arg.substr(0, arg.size() - 1));
      if (option && option->get_type_size() != 0)
        return fmt::format("'{}' needs {} behind it", arg, option->get_type_name());
    }
    const std::string what = error.what();
    if (dynamic_cast<const CLI::RequiredError*>(&error)) {
      for (const CLI::Option* option : chosen().get_options()) {
        if (option->get_required() && option->count() == 0) {
          const std::string& is = option->get_description();
          return fmt::format("{} is missing: {}{}", option->get_name(option->get_positional()),
                             is.ends_with(" file") ? "a " : "", is);
        }
      }
    }
    if (dynamic_cast<const CLI::ExtrasError*>(&error)) {
      return fmt::format("more than is needed: '{}'", fmt::join(app_.remaining(true), "', '"));
    }
    if (dynamic_cast<const CLI::ArgumentMismatch*>(&error)) {
      const std::string name = what.substr(0, what.find(':'));
      const CLI::Option* option = chosen().get_option_no_throw(name);
      if (option && option->count() > 1) return name + " is given more than once";
      if (option) return fmt::format("{} needs {} after it", name, option->get_type_name());
    }
    return what;
  }

  std::string help() const { return app_.help(); }
  std::string usage() const { return usage_of(chosen()); }
  const CommandLine& line() const { return line_; }
  const CLI::App& commands() const { return app_; }

  // "plan"; empty where there was none.
  std::string command() const { return chain().empty() ? "" : chain().front()->get_name(); }

  // "lugwise convert bands"
  std::string full_command() const {
    std::string name = app_.get_name();
    for (const CLI::App* command : chain()) name += " " + command->get_name();
    return name;
  }

 private:
  // The command that was typed, and the one within it.
  std::vector<const CLI::App*> chain() const {
    std::vector<const CLI::App*> chain;
    for (auto commands = app_.get_subcommands(); !commands.empty();
         commands = chain.back()->get_subcommands()) {
      chain.push_back(commands.front());
    }
    return chain;
  }

  // The first that the command has not, in words; empty if it has all.
  std::string unknown_option(const std::vector<std::string>& args) const {
    std::vector<std::string> names, shorts;
    for (const CLI::Option* option : chosen().get_options()) {
      for (const std::string& name : option->get_lnames()) names.push_back("--" + name);
      for (const std::string& name : option->get_snames()) shorts.push_back("-" + name);
    }
    for (const std::string& arg : args) {
      if (arg == "--") break;
      const bool longer = arg.starts_with("--");
      if (!arg.starts_with("-") || arg == "-" || (!longer && arg[1] >= '0' && arg[1] <= '9')) continue;
      const std::string name = longer ? arg.substr(0, arg.find('=')) : arg.substr(0, 2);
      const std::vector<std::string>& known = longer ? names : shorts;
      if (std::find(known.begin(), known.end(), name) != known.end()) continue;
      if (longer) return fmt::format("no such option: '{}'; {}", name, near(name, names));
      // A letter is most likely the first of a longer name.
      const auto meant = std::find_if(names.begin(), names.end(), [&](const std::string& one) {
        return one[2] == name[1] || one[2] == name[1] - 'A' + 'a';
      });
      return fmt::format("no such option: '{}'; {}", name,
                         meant != names.end() ? fmt::format("nearest name is '{}'", *meant)
                                              : fmt::format("there are {}", fmt::join(names, ", ")));
    }
    return {};
  }

  const CLI::App& chosen() const { return chain().empty() ? app_ : *chain().back(); }

  static double read_celsius(const char* option, const std::string& typed) {
    const Parsed<double> celsius = parse_celsius(typed);
    if (!celsius.value) throw WrongUsage{fmt::format("{}: {}", option, celsius.why())};
    // Nobody solders outside these; Fahrenheit taken for Celsius falls outside.
    if (!(*celsius.value >= -20 && *celsius.value <= 60)) {
      throw WrongUsage{fmt::format("{}: {} is no workshop's, in °C from -20 to 60", option, typed)};
    }
    return *celsius.value;
  }

  static std::string near(const std::string& name, const std::vector<std::string>& names) {
    const auto nearest = nearest_name(name, names);
    return nearest ? fmt::format("nearest name is '{}'", *nearest)
                   : fmt::format("there are {}", fmt::join(names, ", "));
  }

  CLI::App& add(CLI::App& parent, const std::string& name, const std::string& purpose,
                const std::string& examples) {
    CLI::App& command = *parent.add_subcommand(name, purpose);
    command.set_help_flag("-h,--help", "show this page")->group(kOutput);
    command.add_flag("--json", line_.json, "answer in JSON, errors too")->group(kOutput);
    command.footer("examples\n" + examples);
    return command;
  }

  // A command that looks at a harness.
  CLI::App& add(const std::string& name, const std::string& purpose, const std::string& examples) {
    CLI::App& command = add(app_, name, purpose, examples);
    command.add_option("HARNESS", line_.harness, "netlist file")->required()->group(kWhat);
    return command;
  }

  // How the answer is set, and where it goes.
  enum class Page { None, OneForm, TwoForms };
  void add_form(CLI::App& command, Page as_page) {
    command.add_flag("--markdown", line_.markdown, "answer in Markdown")->group(kOutput);
    if (as_page == Page::OneForm) {
      command.add_flag("--html", line_.html, "answer as one page, to print or to fill in")->group(kOutput);
    } else if (as_page == Page::TwoForms) {
      command
          .add_flag("--html", html_,
                    "answer as a sheet to print or fill in; --html=long: with a picture a step")
          ->group(kOutput);
    }
    option(command, "--width", width_, "COLUMNS", "of the text; else the terminal's, else 80", kOutput);
    option(command, "-o,--output", line_.output, "FILE", "write the answer there", kOutput);
  }

  void read_form() {
    if (!html_.empty()) {
      if (html_ != "true" && html_ != "long")
        throw WrongUsage{fmt::format("--html: write --html or --html=long, not '{}'", html_)};
      line_.html = true;
      if (html_ == "long") line_.html_form = html_;
    }
    const std::pair<const char*, bool> forms[] = {{"--json", line_.json},
                                                  {"--markdown", line_.markdown},
                                                  {"--html", line_.html},
                                                  {"--width", width_.has_value()}};
    std::string chosen;
    for (const auto& [name, asked] : forms) {
      if (asked && !chosen.empty()) throw WrongUsage{fmt::format("{} and {}: choose one", chosen, name)};
      if (asked) chosen = name;
    }
    if (!width_) return;
    const auto columns = parse_number(*width_);
    if (!columns.value || !(*columns.value >= kNarrowest && *columns.value <= kWidest) ||
        *columns.value != std::floor(*columns.value)) {
      throw WrongUsage{fmt::format("--width: write a whole number from {:g} to {:g}, not '{}'", kNarrowest,
                                   kWidest, *width_)};
    }
    line_.width = static_cast<std::size_t>(*columns.value);
  }

  void add_stage(CLI::App& command) {
    option(command, "--stage", line_.stage, "STAGE", "a stage of the netlist: parts not there yet", kWhat);
  }

  // Both may be said elsewhere too: the first that says it is believed.
  void add_meter(CLI::App& command, const std::string& elsewhere) {
    option(command, "--meter", line_.meter, "FILE",
           fmt::format("a meter's file; else {}, else assumed", elsewhere), kHow);
    option(command, "--temperature", temperature_, "CELSIUS",
           fmt::format("of the coils; else {}, else not known", elsewhere), kHow);
  }

  void add_workshop(CLI::App& command) {
    option(command, "--workshop", line_.workshop, "FILE", "a workshop's seconds and weights; else the usual",
           kHow);
  }

  template <class Value>
  static CLI::Option* option(CLI::App& command, const char* name, Value& value, const char* type,
                             const std::string& what, const char* group) {
    return command.add_option(name, value, what)->type_name(type)->group(group);
  }

  // May be given again and again, one value each time.
  static void list(CLI::App& command, const char* name, std::vector<std::string>& values, const char* type,
                   const char* what) {
    command.add_option(name, values, what)
        ->type_name(type)
        ->type_size(1)
        ->expected(1)
        ->allow_extra_args(false)
        ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll)
        ->group(kHow);
  }

  void add_check() {
    add("check", "What a technician notices on the drawing, before any probe.",
        "  lugwise check fernhollow-2.yaml\n"
        "  lugwise check --json fernhollow-2.yaml\n");
  }

  void add_expect() {
    CLI::App& command =
        add("expect", "What a meter should show between two points, and why.",
            "  lugwise expect fernhollow-2.yaml jack.plug-tip jack.plug-sleeve --set tone=0\n"
            "  lugwise expect fernhollow-2.yaml volume.1 volume.3 --lifted 'volume.3>tone.1'\n"
            "  lugwise expect fernhollow-2.yaml front.hot front.ground --reads 6.05k\n");
    command.add_option("POINT", line_.a, "where one probe goes, such as jack.tip")->required()->group(kWhat);
    command.add_option("OTHER", line_.b, "where the other probe goes")->required()->group(kWhat);
    add_stage(command);
    list(command, "--set", line_.set, "CONTROL=PLACE", "a knob, switch or plug; may be given again");
    list(command, "--lifted", line_.lifted, "POINT", "a lead or wire end that is off; may be given again");
    add_meter(command, "the netlist's");
    option(command, "--reads", line_.reads, "VALUE", "what the meter showed there: does it agree?", kHow);
    option(command, "--range", line_.range, "RANGE", "the range it is on; else the one that fits", kHow);
    add_form(command, Page::None);
  }

  void add_faults() {
    CLI::App& command = add("faults", "All that can be wrong, what it reads and what the player hears.",
                            "  lugwise faults fernhollow-2.yaml --at volume.case\n"
                            "  lugwise faults fernhollow-2.yaml --stage bench --json\n");
    add_stage(command);
    option(command, "--at", line_.at, "PLACE", "only faults at this point or part", kWhat);
    list(command, "--set", line_.set, "CONTROL=PLACE", "read and listen there only; may be given again");
    add_meter(command, "the netlist's");
    add_workshop(command);
    add_form(command, Page::None);
  }

  void add_plan() {
    CLI::App& command = add("plan", "Which probes prove the harness, in which order: the checklist.",
                            "  lugwise plan fernhollow-2.yaml --depth outside\n"
                            "  lugwise plan fernhollow-4.yaml --stage bench --meter meters/manual-2000.yaml\n"
                            "  lugwise plan fernhollow-2.yaml --html -o sheet.html\n");
    add_stage(command);
    command.add_option("--depth", line_.depth, "how far to open it: outside or full")
        ->type_name("DEPTH")
        ->capture_default_str()
        ->group(kWhat);
    CLI::Option* thorough =
        command.add_flag("--thorough", line_.thorough, "cold joints, wrong values, misplaced leads too");
    CLI::Option* quick = command.add_flag("--quick", line_.quick, "most of it, in much less time");
    thorough->group(kWhat);
    quick->group(kWhat);
    command.add_flag("--allow-lift", line_.lift, "take a lead off for what else stays unseen")->group(kWhat);
    option(command, "--walk", line_.walk, "ground", "the ground walk too, one probe parked", kWhat);
    option(command, "--after", line_.after, "PLACE", "a repair: what it may have disturbed", kWhat);
    add_meter(command, "the netlist's");
    add_workshop(command);
    add_form(command, Page::TwoForms);
  }

  void add_diagnose() {
    CLI::App& command =
        add("diagnose", "What readings taken from a harness say is wrong with it.",
            "  lugwise diagnose fernhollow-2.yaml jobs/fernhollow-2-silent-front.yaml\n"
            "  lugwise diagnose fernhollow-7.yaml jobs/fernhollow-7-worn-volume.yaml --html\n");
    command.add_option("READINGS", line_.readings, "readings file")->required()->group(kWhat);
    add_meter(command, "the readings', else the netlist's");
    add_workshop(command);
    add_form(command, Page::OneForm);
  }

  void add_draw() {
    CLI::App& command =
        add("draw", "The harness as a picture, to look at or to print: an SVG.",
            "  lugwise draw fernhollow-2.yaml -o fernhollow-2.svg\n"
            "  lugwise draw fernhollow-2.yaml -o tip.svg --probes jack.plug-tip volume.3\n"
            "  lugwise draw fernhollow-2.yaml --readings jobs/fernhollow-2-silent-front.yaml\n");
    add_stage(command);
    command.add_option("--probes", line_.probes, "two points: the probes, and the current's way")
        ->type_name("POINT OTHER")
        ->expected(2)
        ->group(kWhat);
    option(command, "--readings", line_.readings, "FILE", "a readings file: its suspects are marked", kWhat);
    command.add_flag("--small", line_.small, "only what lies around the probes")->group(kWhat);
    list(command, "--set", line_.set, "CONTROL=PLACE", "a knob, switch or plug; may be given again");
    option(command, "-o,--output", line_.output, "FILE", "where the picture goes; else to stdout", kOutput);
  }

  void add_guide() {
    CLI::App& command =
        add(app_, "guide", "One probe at a time, typed as it is read: a session at the bench.",
            "  lugwise guide fernhollow-2.yaml --depth outside\n"
            "  lugwise guide --resume fernhollow-2.readings.yaml\n");
    command.add_option("HARNESS", line_.harness, "netlist file; with --resume the record names it")
        ->group(kWhat);
    add_stage(command);
    depth_of_guide_ = option(command, "--depth", line_.depth, "DEPTH",
                             "how far to open it: outside or full (default full)", kWhat);
    option(command, "-o,--output", line_.output, "FILE", "the record; else HARNESS.readings.yaml", kOutput);
    option(command, "--resume", line_.resume, "FILE", "go on with this record", kWhat);
    add_workshop(command);
    add_meter(command, "the record's, else the netlist's");
  }

  void add_study() {
    CLI::App& command =
        add("study", "How often the plan and the diagnosis are right, on simulated harnesses.",
            "  lugwise study fernhollow-1.yaml --cases 1000 --faults high\n"
            "  lugwise study fernhollow-1.yaml --slips 2% --plot study.svg\n"
            "  lugwise study fernhollow-1.yaml --faults high --case 17\n");
    add_stage(command);
    option(command, "--cases", line_.cases, "COUNT", "how many are simulated", kWhat)->capture_default_str();
    option(command, "--faults", line_.faults, "KIND",
           "mixed, none, any, open, high, short, value, worn, misplaced", kWhat)
        ->capture_default_str();
    command.add_flag("--pairs", line_.pairs, "two faults at once")->group(kWhat);
    option(command, "--slips", line_.slips, "SHARE", "of readings that are wrong, such as 2%", kWhat);
    command.add_flag("--sheet", line_.sheet, "read the whole plan, diagnose once")->group(kWhat);
    option(command, "--seed", line_.seed, "NUMBER", "another one draws other harnesses", kHow)
        ->capture_default_str();
    option(command, "--case", line_.shown, "NUMBER", "show this one in full", kHow);
    option(command, "--jobs", line_.jobs, "COUNT", "how many run at once; else as the machine has room",
           kHow);
    option(command, "--meter", line_.meter, "FILE", "a meter's file; else the netlist's, else assumed", kHow);
    add_workshop(command);
    add_form(command, Page::None);
    option(command, "--plot", line_.plot, "FILE", "write a plot as SVG", kOutput);
  }

  void add_convert() {
    CLI::App& convert =
        add(app_, "convert", "One workshop number into another: bands, values, coils, warmth.",
            "  lugwise convert bands yellow violet orange gold\n"
            "  lugwise convert temperature 6.43k --from 29\n");
    convert.require_subcommand(1);
    const auto add_one = [&](const char* name, const char* purpose, const char* examples) -> CLI::App& {
      CLI::App& command = add(convert, name, purpose, examples);
      add_form(command, Page::None);
      command.parse_complete_callback([this, name] { line_.conversion = name; });
      return command;
    };

    CLI::App& bands = add_one("bands", "What a resistor's colour bands say.",
                              "  lugwise convert bands yellow violet orange gold\n"
                              "  lugwise convert bands brown black black red brown --json\n");
    bands.add_option("COLOUR", line_.colours, "the bands, 3 to 6, from the end they are nearest to")
        ->required()
        ->group(kWhat);

    CLI::App& value = add_one("value", "A resistor's value as bands, letters and nearest preferred values.",
                              "  lugwise convert value 47k --tolerance 5%\n"
                              "  lugwise convert value 4K7J\n");
    value.add_option("OHMS", line_.value, "a value or letter code: 220, 4.7k, 4K7J")
        ->required()
        ->group(kWhat);
    option(value, "--tolerance", line_.tolerance, "SHARE", "such as 5%", kWhat);

    CLI::App& coil = add_one("coil", "A coil's resistance as length of wire and turns: an estimate.",
                             "  lugwise convert coil 6.2k --gauge 42 --turn '150 mm'\n"
                             "  lugwise convert coil 6.43k --gauge 42 --turn 15cm --temperature 29\n");
    coil.add_option("OHMS", line_.value, "what the meter shows, less its leads")->required()->group(kWhat);
    option(coil, "--gauge", line_.gauge, "AWG", "of the wire, 0 to 56", kWhat)->required();
    option(coil, "--turn", line_.turn, "LENGTH", "of the mean turn, such as '150 mm'", kWhat)->required();
    option(coil, "--diameters", line_.diameters, "FAMILY", "of wire tables: nominal or formula", kWhat)
        ->capture_default_str();
    option(coil, "--temperature", temperature_, "CELSIUS", "of the coil (default 20)", kHow);

    CLI::App& temperature =
        add_one("temperature", "A coil's resistance at one temperature as that at another.",
                "  lugwise convert temperature 6.43k --from 29\n"
                "  lugwise convert temperature 6.2k --from 20 --to 35\n");
    temperature.add_option("OHMS", line_.value, "what the meter shows, less its leads")
        ->required()
        ->group(kWhat);
    option(temperature, "--from", from_, "CELSIUS", "where it has those ohms", kWhat)->required();
    option(temperature, "--to", to_, "CELSIUS", "where they are asked for", kWhat)->capture_default_str();
  }

  void add_completion() {
    CLI::App& command =
        *app_.add_subcommand("completion", "What a shell offers at the tab key: a script for it to read.");
    command.set_help_flag("-h,--help", "show this page")->group(kOutput);
    command.add_option("SHELL", line_.shell, fmt::format("one of {}", fmt::join(shells(), ", ")))
        ->required()
        ->group(kWhat);
    command.footer(
        "examples\n"
        "  lugwise completion bash\n"
        "  lugwise completion fish\n"
        "\n"
        "to use it in this shell\n"
        "  source <(lugwise completion bash)\n"
        "  source <(lugwise completion zsh)\n"
        "  lugwise completion fish | source\n");
  }

  // What is installed as lugwise(1); nobody needs it by hand.
  void add_manual() { app_.add_subcommand("manual", "This program's page of the manual.")->group(""); }

  CLI::App app_;
  const CLI::Option* depth_of_guide_ = nullptr;
  CommandLine line_;
  std::optional<std::string> width_;
  std::string html_;  // as typed: "true" where no form is named
  std::string temperature_, from_;
  std::string to_ = "20";
};

// For bash the whole line comes as one word, and the word at its end goes back, as it is without quotes; "quoted" says
// that it was begun with one.
std::string offered(const CLI::App& commands, std::vector<std::string> words, bool whole_line) {
  if (!whole_line) return words_for(commands, words);
  Typed typed = split(words.empty() ? "" : words.front());
  typed.words.erase(typed.words.begin());
  if (typed.words.empty()) typed.words.emplace_back();
  std::string text = words_for(commands, typed.words);
  text.insert(text.find('\n') + 1, typed.words.back() + '\n');
  return typed.quoted && text.starts_with("words") ? "quoted" + text.substr(5) : text;
}

ExitCode dispatch(const std::string& command, Run& run) {
  if (command == "check") return check_command(run);
  if (command == "expect") return expect_command(run);
  if (command == "faults") return faults_command(run);
  if (command == "plan") return plan_command(run);
  if (command == "guide") return guide_command(run);
  if (command == "convert") return convert_command(run);
  if (command == "draw") return draw_command(run);
  if (command == "study") return study_command(run);
  return diagnose_command(run);
}

ExitCode fail(ExitCode code, Heading heading, const Texts& texts, const std::vector<Diagnostic>& errors,
              bool json, std::ostream& out, std::ostream& err) {
  if (json) {
    out << errors_as_json(heading, errors);
    return code;
  }
  std::vector<Diagnostic> all = errors;
  all.insert(all.end(), heading.warnings.begin(), heading.warnings.end());
  err << problems_as_text(all, texts);
  return code;
}

ExitCode answer(const std::vector<std::string>& args, std::ostream& out, std::ostream& err,
                std::size_t columns) {
  Parser parser;
  Heading heading;
  heading.program = kProgram;
  bool json = std::find(args.begin(), args.end(), "--json") != args.end();
  Run run{parser.line(), heading, {}, 0, out, err, columns};
  const auto one = [](const char* code, std::string message, std::string file = {}) {
    return std::vector<Diagnostic>{{Severity::Error, code, std::move(message), std::move(file), {}, {}}};
  };
  const auto failed = [&](ExitCode code, const std::vector<Diagnostic>& errors) {
    return fail(code, run.heading, run.texts, errors, json, out, err);
  };
  const auto misused = [&](const std::string& message) {
    if (json) return failed(ExitCode::WrongUsage, one("U200", message));
    std::istringstream lines(message);
    std::string said = "lugwise: ";
    for (std::string line; std::getline(lines, line); said.clear()) {
      const std::size_t indent = said.empty() ? line.find_first_not_of(' ') : std::string::npos;
      const std::string lead = indent == std::string::npos ? said : line.substr(0, indent);
      err << page::wrapped(lead, line.substr(indent == std::string::npos ? 0 : indent), 2);
    }
    err << page::wrapped("usage: ", parser.usage(), 7)
        << fmt::format("help: {} --help\n", parser.full_command());
    return ExitCode::WrongUsage;
  };
  try {
    // Scripts ask this at every tab, about command lines that are not finished.
    if (args.size() >= 2 && args[0] == "completion" && (args[1] == "words" || args[1] == "line")) {
      const bool whole = args[1] == "line";
      out << offered(parser.commands(), {args.begin() + 2, args.end()}, whole);
      return ExitCode::Well;
    }
    // Asked as a command, help is that of the command named after it.
    if (!args.empty() && args[0] == "help") {
      std::vector<std::string> asked(args.begin() + 1, args.end());
      asked.emplace_back("--help");
      parser.parse(asked);
    }
    parser.parse(args);
    if (parser.command() == "completion") {
      out << completion_script(parser.line().shell);
      return ExitCode::Well;
    }
    if (parser.command() == "manual") {
      out << manual_page(parser.commands(), kProgram);
      return ExitCode::Well;
    }
    run.heading.output = parser.command();
    const ExitCode code = dispatch(parser.command(), run);
    tell_warnings(run);
    return code;
  } catch (const CLI::CallForVersion&) {
    out << kProgram << '\n';
    return ExitCode::Well;
  } catch (const CLI::Success&) {
    out << parser.help();
    return ExitCode::Well;
  } catch (const CLI::ParseError& error) {
    run.heading.output = parser.command();
    return misused(parser.explain(args, error));
  } catch (const WrongUsage& usage) {
    run.heading.output = parser.command();
    return misused(usage.message);
  } catch (const BadInput& input) {
    return failed(ExitCode::BadInput, input.errors);
  } catch (const NetworkTooDense& error) {
    return failed(ExitCode::BadInput,
                  one("U301", fmt::format("the harness is too interwoven to be solved: {}", error.what()),
                      run.heading.harness_file));
  } catch (const std::bad_alloc&) {
    return failed(ExitCode::OurFailure, one("U400", "lugwise ran out of memory"));
  } catch (const std::exception& error) {
    return failed(ExitCode::OurFailure,
                  one("U400", fmt::format("lugwise failed, which is its own fault: {}", error.what())));
  }
}

}  // namespace

BadInput bad_input(std::string code, std::string message, std::string file) {
  return {{{Severity::Error, std::move(code), std::move(message), std::move(file), {}, {}}}};
}

void tell_warnings(Run& run) {
  if (run.line.json || run.heading.output == "check") return;
  std::vector<Diagnostic> about_file = std::move(run.heading.warnings);
  run.heading.warnings.clear();
  about_file.resize(about_file.size() - run.noticed);
  run.err << problems_as_text(about_file, run.texts);
  if (run.noticed > 0) {
    run.err << fmt::format("lugwise: {} on the drawing; see: lugwise check {}\n",
                           run.noticed == 1 ? "1 warning" : fmt::format("{} warnings", run.noticed),
                           run.heading.harness_file);
  }
  run.noticed = 0;
}

void give(Run& run, const std::string& answer) {
  const std::string& file = run.line.output;
  if (file.empty()) {
    run.out << answer;
    return;
  }
  for (const auto& [read, text] : run.texts) {
    std::error_code error;
    if (std::filesystem::equivalent(read, file, error))
      throw WrongUsage{
          fmt::format("--output: '{}' was read for this answer, which would overwrite it", file)};
  }
  write_file(file, answer);
}

int run(const std::vector<std::string>& args, std::ostream& out, std::ostream& err, std::size_t columns) {
  try {
    return static_cast<int>(answer(args, out, err, columns));
  } catch (...) {
    err << "lugwise: failed while telling of a failure\n";
    return static_cast<int>(ExitCode::OurFailure);
  }
}

}  // namespace lugwise::app
