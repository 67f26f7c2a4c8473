#include "report/drawing.h"

#include "report/inside/json.h"

namespace lugwise {

std::string as_json(const Heading& heading, const Layout& layout, const Extent& extent,
                    const std::string& file, const std::string& svg) {
  report::Json json = report::json_of(heading);
  json["file"] = file.empty() ? report::Json(nullptr) : report::Json(file);
  json["width"] = report::number(extent.width);
  json["height"] = report::number(extent.height);
  json["crossings"] = layout.crossings;
  json["stubs"] = layout.stubs;
  if (file.empty()) json["svg"] = svg;
  return report::written(json);
}

}  // namespace lugwise
