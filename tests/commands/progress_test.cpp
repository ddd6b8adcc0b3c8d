#include "commands/progress.h"

#include <catch2/catch.hpp>
#include <sstream>
#include <thread>

#include "domain/text.h"

using namespace trencher;
using namespace trencher::commands;

namespace {

void wait() { std::this_thread::sleep_for(std::chrono::milliseconds(110)); }

}  // namespace

TEST_CASE("progress: the line tells what and how much of it") {
  CHECK(progress_text("reading garage.csv", 0, 60) ==
        "reading garage.csv  [..............................]    0 %");
  CHECK(progress_text("reading garage.csv", 0.5625, 60) ==
        "reading garage.csv  [################..............]   56 %");
  CHECK(progress_text("reading garage.csv", 1, 60) ==
        "reading garage.csv  [##############################]  100 %");
  CHECK(progress_text("a", 0.999, 40) == "a  [##########################.]   99 %");
}

TEST_CASE("progress: the line is as long whatever the part and shorter than the terminal") {
  const std::string wide(200, 'w');
  for (const std::string& what :
       {std::string("x"), wide, std::string("reading Überprüfung – März über alle Räume.csv"),
        std::string("読む 測定値測定値測定値測定値測定値測定値測定値測定値測定値")})
    for (const std::size_t width : {40, 60, 80, 100})
      for (const double part : {0.0, 0.004, 0.5, 1.0}) {
        const std::string text = progress_text(what, part, width);
        INFO(text);
        CHECK(is_utf8(text));
        CHECK(display_width(text) < width);
        CHECK(display_width(text) == display_width(progress_text(what, 0.25, width)));
      }
  CHECK(progress_text(wide, 0, 80).starts_with(std::string(39, 'w') + "…  ["));
}

TEST_CASE("progress: drawn over in place at most ten times a second and wiped in the end") {
  std::ostringstream out;
  {
    Progress progress(out, 60, "x");
    for (int i = 0; i < 1000; ++i) progress.at(1, 4);
    CHECK(out.str().empty());  // a short task shows none
    wait();
    for (int i = 0; i < 1000; ++i) progress.at(1, 4);
    CHECK(out.str() == "\r" + progress_text("x", 0.25, 60));
    progress.stretch(0.5, 0.75);
    wait();
    progress.at(1, 2);
    CHECK(out.str() == "\r" + progress_text("x", 0.25, 60) + "\r" + progress_text("x", 0.625, 60));
    out.str("");
  }
  const std::size_t drawn = display_width(progress_text("x", 0, 60));
  CHECK(out.str() == "\r" + std::string(drawn, ' ') + "\r");
}

TEST_CASE("progress: wiped once and nothing where there is no terminal or a narrow one") {
  std::ostringstream out;
  for (const std::size_t width : {0, 39}) {
    Progress progress(out, width, "x");
    wait();
    progress.at(1, 2);
  }
  CHECK(out.str().empty());
  Progress progress(out, 40, "x");
  wait();
  progress.at(0, 0);  // nothing to do
  CHECK(out.str().empty());
  progress.at(9, 2);  // more than there was to do: a file that grew
  CHECK(out.str() == "\r" + progress_text("x", 1, 40));
  progress.wipe();
  const std::string wiped = out.str();
  progress.wipe();
  CHECK(out.str() == wiped);
}
