#include "report/inside/words.h"

#include <cctype>
#include <cmath>

#include <fmt/format.h>

#include "component/copper.h"

namespace lugwise::report {
inline namespace inside {
namespace {

// Warnings about the drawing that stand at the top of a page; `check` has them all.
constexpr std::size_t kMostNoticed = 5;

}  // namespace

std::string listed(const std::vector<std::string>& items) {
  std::string text;
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (i > 0) text += i + 1 == items.size() ? " and " : ", ";
    text += items[i];
  }
  return text;
}

std::string many(std::string_view noun) {
  return fmt::format("{}{}", noun, noun.ends_with("ch") ? "es" : "s");
}

std::string counted(std::size_t count, std::string_view noun) {
  return fmt::format("{} {}", count, count == 1 ? std::string(noun) : many(noun));
}

std::string first_letter_up(std::string text) {
  // A point keeps its spelling.
  if (text.substr(0, text.find(' ')).find_first_of(".>") != std::string::npos) return text;
  if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text;
}

std::string first_letter_down(std::string text) {
  if (!text.empty()) text[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(text[0])));
  return text;
}

std::string minutes(double seconds) {
  if (seconds < 60) return "less than a minute";
  return "about " + counted(static_cast<std::size_t>(std::llround(seconds / 60)), "minute");
}

std::string percent(double share) {
  const double value = share * 100;
  if (value >= 100) return "100 %";
  if (value > 99.9) return "over 99.9 %";
  if (value < 0.1) return "under 0.1 %";
  return value < 10 || value > 99 ? fmt::format("{:.1f} %", value) : fmt::format("{:.0f} %", value);
}

std::string in_words(const Harness& harness, const Setting& setting) {
  std::string text;
  for (PartId control : harness.controls()) {
    if (!text.empty()) text += ", ";
    text += harness[control].name + " " + setting.place_name(harness, control);
  }
  return text;
}

std::string set_in_words(const Harness& harness, const Setting& setting) {
  const std::string places = in_words(harness, setting);
  return places.empty() ? "" : "set " + places + "; ";
}

std::string in_words(const Access& access) {
  if (access.name == "bench") return "on the bench";
  if (access.depth == 0) return "with nothing opened";
  if (access.depth == 1) return "with the cavity open";
  return "with the cavity and " + access.name + " open";
}

std::string in_words(const Meter& meter) {
  std::string text = fmt::format("{} counts, ", meter.counts);
  if (!meter.ranges.empty()) {
    text += range_name(meter.ranges.front().top) + " to " + range_name(meter.ranges.back().top);
  }
  text += meter.automatic ? ", picks its range" : "";
  if (meter.leads_low == meter.leads_high) {
    text += fmt::format(", leads {:g}", meter.leads_low);
  } else {
    text += fmt::format(", leads {:g} to {:g}", meter.leads_low, meter.leads_high);
  }
  if (meter.over != "OL") text += fmt::format(", shows OL as '{}'", meter.over);
  return text;
}

std::string sound_in_words(Sound sound) {
  switch (sound) {
    case Sound::Buzzes:
      return "buzzes, touching the strings is no help";
    case Sound::BuzzesUntilTouched:
      return "buzzes until the strings are touched";
    case Sound::AlwaysOn:
      return "heard where it should be silent";
    case Sound::Dead:
      return "silent, without a hum";
    case Sound::DoesNothing:
      return "does nothing";
    case Sound::WorksBackwards:
      return "works backwards";
    case Sound::DoesNotMute:
      return "does not mute";
    case Sound::AllOrNothing:
      return "gives all or nothing";
    case Sound::Scratchy:
      return "scratches as it is turned";
    case Sound::CutsOut:
      return "cuts out";
    case Sound::HumsWhenTouched:
      return "hums when a knob or switch is touched";
    case Sound::AllTheSame:
      return "sounds the same in every position";
    case Sound::Bleeds:
      return "bleeds in where it should be silent";
    case Sound::Pops:
      return "pops when it is switched";
    case Sound::Shock:
      return "gives a shock";
    default:
      return std::string(sound_word(sound));
  }
}

std::vector<std::string> job_details() { return {"Instrument", "Job number", "Date", "Technician"}; }

std::vector<std::string> noticed_on_drawing(const Heading& heading) {
  std::vector<std::string> noticed;
  for (const Diagnostic& warning : heading.warnings) {
    if (warning.code.starts_with("W")) noticed.push_back(warning.message);
  }
  if (noticed.size() > kMostNoticed) {
    const std::size_t left = noticed.size() - kMostNoticed;
    noticed.resize(kMostNoticed);
    noticed.push_back(
        fmt::format("{} more on the drawing; see: lugwise check {}", left, heading.harness_file));
  }
  return noticed;
}

std::string values_in_words(const Heading& heading) {
  std::string words;
  for (const ChosenValue& value : heading.values)
    words += fmt::format("{}{}={}", words.empty() ? ", with " : ", ", value.name, value.text);
  return words;
}

std::string usual_temperatures() { return fmt::format("{:g} to {:g} °C", kColdest, kWarmest); }

std::string stage_in_words(const Harness& harness, std::optional<std::size_t> stage) {
  return stage ? harness.stages()[*stage].name : "all parts there";
}

page::Document titled(const Heading& heading, std::string_view title, std::vector<page::Labelled> more) {
  page::Document document;
  document.title = fmt::format("{}: {}", heading.harness_name, title);
  page::Facts facts;
  facts.rows.push_back({"harness", fmt::format("{} ({}){}", heading.harness_file, heading.harness_id,
                                               values_in_words(heading))});
  if (heading.meter) {
    facts.rows.push_back(
        {"meter", in_words(*heading.meter) + (heading.meter->assumed ? "; assumed, as none was named" : "")});
  }
  facts.rows.push_back({"coils", heading.temperature
                                     ? fmt::format("at {:g} °C", *heading.temperature)
                                     : "at a temperature not given, " + usual_temperatures()});
  for (page::Labelled& one : more) facts.rows.push_back(std::move(one));
  for (std::string& warning : noticed_on_drawing(heading))
    facts.rows.push_back({"warning", std::move(warning)});
  document.opening.push_back(std::move(facts));
  document.mark =
      fmt::format("{} · {} · check sum {}", heading.harness_name, heading.harness_file, heading.harness_id);
  return document;
}

}  // namespace inside
}  // namespace lugwise::report
