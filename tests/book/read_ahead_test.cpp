#include "book/read_ahead.h"

#include <catch2/catch.hpp>
#include <condition_variable>
#include <mutex>
#include <thread>

using trencher::book::ReadAhead;

TEST_CASE("read ahead: parts are handed on in order, each worked on once") {
  std::vector<int> came;
  ReadAhead<int> ahead([](int& part) { part *= 2; }, [&](int& part) { came.push_back(part); });
  for (int i = 0; i < 1000; ++i) ahead.push(i);
  ahead.finish();
  REQUIRE(came.size() == 1000);
  for (int i = 0; i < 1000; ++i) CHECK(came[static_cast<std::size_t>(i)] == 2 * i);
}

TEST_CASE("read ahead: what fails comes out in its turn, and nothing behind it is handed on") {
  int last = -1;
  ReadAhead<int> ahead(
      [](int& part) {
        if (part == 20) throw std::runtime_error("twenty");
      },
      [&](int& part) { last = part; });
  CHECK_THROWS_WITH(
      [&] {
        for (int i = 0; i < 1000; ++i) ahead.push(i);
        ahead.finish();
      }(),
      "twenty");
  CHECK(last == 19);
}

TEST_CASE("read ahead: while the oldest part is worked on elsewhere, the caller works on others") {
  if (std::thread::hardware_concurrency() != 2) return;  // one thread beside the caller
  std::mutex mutex;
  std::condition_variable changed;
  bool begun = false, other_done = false, waited_in_vain = false;
  ReadAhead<int> ahead(
      [&](int& part) {
        std::unique_lock lock(mutex);
        if (part == 0) {
          begun = true;
          changed.notify_all();
          waited_in_vain =
              !changed.wait_for(lock, std::chrono::seconds(20), [&] { return other_done; });
        } else {
          other_done = true;
          changed.notify_all();
        }
      },
      [](int&) {});
  ahead.push(0);
  {
    std::unique_lock lock(mutex);
    changed.wait(lock, [&] { return begun; });
  }
  ahead.push(1);
  ahead.finish();
  CHECK_FALSE(waited_in_vain);
}
