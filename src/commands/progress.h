// How far a long task has come, shown in one line of a terminal that is written over in place.
//
//   Progress progress(err, 80, "reading garage.csv");
//   progress.stretch(0, 0.4);                    // what follows is the first 40 % of the whole
//   while (...) progress.at(bytes_read, bytes);
//   progress.stretch(0.4, 1);
//   ...                                          // wiped by wipe() or at the end of the scope
#pragma once

#include <chrono>
#include <cstdint>
#include <iosfwd>
#include <string>
#include <string_view>

namespace trencher::commands {

// "reading garage.csv  [#######.....]  58 %", the bar up to 40 places long and all in fewer columns
// than `width`, of which `what` takes half at most and is cut there. `part` is 0 to 1.
std::string progress_text(std::string_view what, double part, std::size_t width);

class Progress {
 public:
  // `width`: columns of the terminal that is written to; under 40 nothing is shown, nor is it in
  // the first tenth of a second.
  Progress(std::ostream& to, std::size_t width, std::string what);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  // What follows takes the whole, of 1, from here to there; without it, all of it.
  void stretch(double from, double to);
  // So much of the stretch is done. Called as often as one likes; draws ten times a second.
  void at(std::uint64_t done, std::uint64_t of);
  void wipe();

 private:
  std::ostream& out_;
  std::size_t width_;
  std::string what_;
  double from_ = 0, until_ = 1;
  std::size_t drawn_ = 0;  // columns that are written on
  std::chrono::steady_clock::time_point next_;
};

}  // namespace trencher::commands
