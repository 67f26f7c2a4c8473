// What several outputs say alike: counts, lists, settings and meters in words, and what stands at the top of each.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "handling/handling.h"
#include "harness/harness.h"
#include "hearing/sound.h"
#include "meter/meter.h"
#include "page/document.h"
#include "report/heading.h"

namespace lugwise::report {
inline namespace inside {

// "a, b and c".
std::string listed(const std::vector<std::string>& items);

// "joints", "switches".
std::string many(std::string_view noun);

// "1 joint", "3 joints".
std::string counted(std::size_t count, std::string_view noun);

std::string first_letter_up(std::string text);
std::string first_letter_down(std::string text);

// "about 12 minutes"; "less than a minute".
std::string minutes(double seconds);

// "12 %", "0.4 %", "over 99.9 %": never all or nothing of what is not certain.
std::string percent(double share);

// "selector front, volume 10, jack in": every control.
std::string in_words(const Harness& harness, const Setting& setting);

// "set selector front, volume 10; ", or nothing where there is nothing to set.
std::string set_in_words(const Harness& harness, const Setting& setting);

// "with nothing opened", "with the cavity open", "with the cavity and springs open", "on the bench".
std::string in_words(const Access& access);

// "2000 counts, 200 to 20M, leads 0.3".
std::string in_words(const Meter& meter);

// "buzzes, touching the strings is no help".
std::string sound_in_words(Sound sound);

// What a page to be filed asks for: whose instrument, and who looked at it.
std::vector<std::string> job_details();

// What `check` notices on the drawing, a line each; of many the first few.
std::vector<std::string> noticed_on_drawing(const Heading& heading);

// ", with track=250k": the values chosen for the harness; empty where none were.
std::string values_in_words(const Heading& heading);

// "10 to 35 °C": where the coils' temperature is not given.
std::string usual_temperatures();

// "bench"; "all parts there" where none is given.
std::string stage_in_words(const Harness& harness, std::optional<std::size_t> stage);

// A document with its title and the lines that name harness, meter and temperature, and more of these.
page::Document titled(const Heading& heading, std::string_view title, std::vector<page::Labelled> more = {});

}  // namespace inside
}  // namespace lugwise::report
