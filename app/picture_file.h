// A picture as a file of another kind than SVG, made by the program of librsvg where that is installed.
#pragma once

#include <string>

namespace lugwise::app {

enum class PictureFormat { Svg, Png, Pdf };

// By the name that was asked for, or by the ending of the file's name; SVG where neither says. Throws WrongUsage for an ending
// that is none of the three, and for one that is not the format asked for.
PictureFormat picture_format(const std::string& asked, const std::string& file);

// The bytes of the file. Throws BadInput where rsvg-convert is missing or fails.
std::string rendered(const std::string& svg, PictureFormat format);

}  // namespace lugwise::app
