#ifndef TAREWISE_LIB_COMMAND_WRITING_H_
#define TAREWISE_LIB_COMMAND_WRITING_H_

#include <sys/stat.h>

#include <array>
#include <csignal>

namespace tarewise::command {

/// The signals that end the program.
inline constexpr std::array kEndingSignals = {SIGHUP, SIGINT, SIGQUIT, SIGTERM};

/// They wait while this lives, so that none comes between a file and the note of it, or between two files of one whole.
class SignalsWait {
 public:
  SignalsWait() {
    sigset_t ending;
    sigemptyset(&ending);
    for (const int number : kEndingSignals) sigaddset(&ending, number);
    pthread_sigmask(SIG_BLOCK, &ending, &before_);
  }
  ~SignalsWait() { pthread_sigmask(SIG_SETMASK, &before_, nullptr); }
  SignalsWait(const SignalsWait&) = delete;
  SignalsWait& operator=(const SignalsWait&) = delete;

 private:
  sigset_t before_;
};

/// Those that a new file gets.
inline mode_t RightsOfNewFiles() {
  const mode_t mask = umask(0);
  umask(mask);
  return 0666 & ~mask;
}

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_WRITING_H_
