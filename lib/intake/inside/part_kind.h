// One reader a kind of part: its keys and values, checked and handed to the builder. None where its points can't be known.
#pragma once

#include <optional>

#include "intake/inside/part_desk.h"

namespace lugwise::intake::inside {

std::optional<PartId> read_pickup(const DeclaredPart& part, PartDesk& desk);
std::optional<PartId> read_pot(const DeclaredPart& part, PartDesk& desk);
std::optional<PartId> read_switch(const DeclaredPart& part, PartDesk& desk);
std::optional<PartId> read_jack(const DeclaredPart& part, PartDesk& desk);
std::optional<PartId> read_resistor(const DeclaredPart& part, PartDesk& desk);
std::optional<PartId> read_inductor(const DeclaredPart& part, PartDesk& desk);
std::optional<PartId> read_capacitor(const DeclaredPart& part, PartDesk& desk);
std::optional<PartId> read_metal(const DeclaredPart& part, PartDesk& desk);
std::optional<PartId> read_battery(const DeclaredPart& part, PartDesk& desk);
std::optional<PartId> read_module(const DeclaredPart& part, PartDesk& desk);

}  // namespace lugwise::intake::inside
