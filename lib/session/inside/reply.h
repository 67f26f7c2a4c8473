// The usual answers to a line.
#pragma once

#include <string>
#include <utility>

#include "session/session.h"

namespace lugwise::session::inside {

inline Reply refused(std::string problem, std::string hint = {}) {
  Reply reply;
  reply.kind = Reply::Kind::Refused;
  reply.problem = std::move(problem);
  reply.hint = std::move(hint);
  return reply;
}

inline Reply answered(Reply::Kind kind, bool changed = false) {
  Reply reply;
  reply.kind = kind;
  reply.changed = changed;
  return reply;
}

}  // namespace lugwise::session::inside
