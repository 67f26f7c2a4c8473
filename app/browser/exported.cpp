// What JavaScript calls: app/browser/answer.js hands texts over.
#include <string>

#include "browser/engine.h"

// The answer stays until the next request.
extern "C" const char* lugwise_answer(const char* request) {
  static lugwise::app::Engine engine("/lugwise");
  static std::string text;
  text = engine.answer(request);
  return text.c_str();
}
