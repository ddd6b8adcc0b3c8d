// What goes out with a board or stands beside it on a stall is looked through for claims of the
// maker's own words. Here and not in the run texts, which tests/claims_test.py reads.
#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <vector>

#include "commands/program.h"

namespace {

class Shop {
 public:
  Shop() {
    std::string pattern = std::filesystem::temp_directory_path() / "trencher-test-XXXXXX";
    REQUIRE(::mkdtemp(pattern.data()));
    folder_ = pattern;
  }
  ~Shop() { std::filesystem::remove_all(folder_); }
  Shop(const Shop&) = delete;
  Shop& operator=(const Shop&) = delete;

  std::string operator/(const std::string& name) const { return folder_ / name; }

  // The status; what was printed is in `printed`. In a process of its own: the program sets up the
  // standard streams for itself.
  int run(std::vector<std::string> words) {
    words.insert(words.begin(), "trencher");
    words.insert(words.end(), {"--book", *this / "book.db"});
    std::vector<char*> argv;
    for (std::string& word : words) argv.push_back(word.data());
    const std::string out = *this / "printed";
    const pid_t child = ::fork();
    REQUIRE(child >= 0);
    if (child == 0) {
      if (!std::freopen(out.c_str(), "wb", stdout)) ::_exit(99);
      const int status =
          trencher::commands::run_program(static_cast<int>(argv.size()), argv.data());
      std::cout.flush();
      ::_exit(status);
    }
    int status = 0;
    REQUIRE(::waitpid(child, &status, 0) == child);
    REQUIRE(WIFEXITED(status));
    std::ifstream in(out, std::ios::binary);
    printed.assign(std::istreambuf_iterator<char>(in), {});
    return WEXITSTATUS(status);
  }

  std::string printed;

 private:
  std::filesystem::path folder_;
};

}  // namespace

TEST_CASE("an offer and a sheet for the stall stop at a claim") {
  Shop shop;
  REQUIRE(shop.run({"start", "--maker", "Example Boards", "--address", "1 Example Lane",
                    "--contact", "maker@example.org", "--market", "uk", "--zone", "Europe/London",
                    "--units", "metric"}) == 0);
  REQUIRE(shop.run({"receive", "wood", "--species", "hard-maple", "--supplier", "Yard", "--lot",
                    "1"}) == 0);
  REQUIRE(shop.run({"receive", "finish", "--kind", "mineral-oil", "--name", "Oil", "--supplier",
                    "Shop", "--lot", "1"}) == 0);
  REQUIRE(shop.run({"batch", "--wood", "W1", "--finish", "F1", "--schedule", "oil", "--pieces", "1",
                    "--size", "300x200x20mm", "--use", "serving-board"}) == 0);
  const std::string batch = shop.printed.substr(shop.printed.find("Batch ") + 6, 6);
  REQUIRE(shop.run({"log", "coat", batch, "--temp", "20C", "--because", "a trial"}) <= 1);
  REQUIRE(shop.run({"sign-off", batch, "--because", "a trial"}) <= 1);

  CHECK(shop.run({"offer", batch, "-o", shop / "plain.txt"}) == 0);
  CHECK(shop.run({"stall-sheet", "-o", shop / "plain.pdf", "--event", "Eastwold market"}) == 0);
  CHECK(shop.run({"stall-sheet", "-o", shop / "claim.pdf", "--event", "Food safe market"}) == 1);
  CHECK_THAT(shop.printed, Catch::Contains("'Food safe market' says 'food safe'"));
  REQUIRE(shop.run({"workshop", "--maker", "Non-toxic boards"}) == 0);
  CHECK(shop.run({"offer", batch, "-o", shop / "claim.txt"}) == 1);
  CHECK_THAT(shop.printed, Catch::Contains("'Non-toxic boards' says 'non toxic'"));
  CHECK(shop.run({"stall-sheet", "-o", shop / "plain.pdf"}) == 1);
}
