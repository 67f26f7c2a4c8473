#include "failure.h"

#include <fmt/format.h>

#include <new>

#include "command.h"
#include "network/network.h"

namespace lugwise::app {
Failure failure_of(const std::exception_ptr& thrown, const Heading& heading, const std::string& leave_out) {
  const auto because = [](ExitCode code, const char* error, std::string message, std::string file = {}) {
    return Failure{code, bad_input(error, std::move(message), std::move(file)).errors};
  };
  try {
    std::rethrow_exception(thrown);
  } catch (const WrongUsage& usage) {
    return because(ExitCode::WrongUsage, "U200", usage.message);
  } catch (const BadInput& input) {
    return {ExitCode::BadInput, input.errors};
  } catch (const NetworkTooDense& error) {
    return because(ExitCode::BadInput, "U301",
                   fmt::format("the harness is too interwoven to be solved: {}", error.what()),
                   heading.harness_file);
  } catch (const std::bad_alloc&) {
    Failure failure =
        because(ExitCode::BadInput, "U324",
                "this takes more memory than a run may have, which is 1 GB at most", heading.harness_file);
    failure.errors.front().note(leave_out);
    return failure;
  } catch (const std::exception& error) {
    return because(ExitCode::OurFailure, "U400",
                   fmt::format("lugwise failed, which is its own fault: {}", error.what()));
  }
}

}  // namespace lugwise::app
