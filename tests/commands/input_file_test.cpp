#include "commands/input_file.h"

#include <sys/stat.h>

#include <chrono>
#include <thread>

#include "../book/folder.h"

using namespace trencher::commands;

namespace {

std::string whole(PartedFile& file) {
  std::string out;
  file.each_part([&](std::string_view part) { out += part; });
  return out;
}

}  // namespace

TEST_CASE("input file: read whole or in parts it is the same") {
  Folder folder;
  const auto path = folder / "long.csv";
  std::string text;
  for (int i = 0; text.size() < 200'000; ++i) text += std::to_string(i) + '\0';
  put_bytes(path, text);
  PartedFile file(path, 1);
  CHECK(file.name() == "long.csv");
  CHECK(file.size() == text.size());
  std::size_t parts = 0;
  file.each_part([&](std::string_view) { ++parts; });
  CHECK(parts > 1);
  CHECK(whole(file) == text);
  CHECK(whole(file) == text);
  const InputFile read = read_input(path, 1);
  CHECK(read.name == "long.csv");
  CHECK(read.bytes == text);
}

TEST_CASE("input file: what is written to it meanwhile is not read") {
  Folder folder;
  const auto path = folder / "log.csv";
  put_bytes(path, "12345");
  PartedFile file(path, 1);
  std::ofstream(path, std::ios::app) << "678";
  CHECK(whole(file) == "12345");
  std::filesystem::resize_file(path, 3);
  CHECK(refusal([&] { whole(file); }) ==
        "request: " + path.string() + " cannot be read to its end.");
}

TEST_CASE("input file: one that comes through a pipe can be read again") {
  Folder folder;
  const auto path = folder / "pipe";
  REQUIRE(::mkfifo(path.c_str(), 0600) == 0);
  const auto sent = [&](std::size_t bytes, const auto& receive) {
    std::thread sender([&] { put_bytes(path, std::string(bytes, 'p')); });
    receive();
    sender.join();
  };
  sent(300'000, [&] {
    PartedFile file(path, 1);
    CHECK(file.size() == 300'000);
    CHECK(whole(file) == std::string(300'000, 'p'));
    CHECK(whole(file) == std::string(300'000, 'p'));
  });
  sent(0, [&] { CHECK(refusal([&] { PartedFile(path, 1); }).ends_with("pipe is empty.")); });
  sent(1'000'001, [&] {
    CHECK(refusal([&] {
            PartedFile(path, 1);
          }).ends_with("pipe is larger than 1 MB, the most that is taken."));
  });
  CHECK(folder.names() == std::vector<std::string>{"pipe"});
}

TEST_CASE("input file: one that cannot be taken is refused by name") {
  Folder folder;
  const auto refused = [&](std::string_view name) {
    const auto path = folder / name;
    const std::string one = refusal([&] { PartedFile(path, 1); });
    CHECK(refusal([&] { read_input(path, 1); }) == one);
    return one.substr(("request: " + (folder / "").string()).size());
  };
  CHECK(refused("absent.csv") == "absent.csv cannot be read: No such file or directory.");
  put_bytes(folder / "empty.csv", "");
  CHECK(refused("empty.csv") == "empty.csv is empty.");
  std::filesystem::create_directory(folder / "inner");
  CHECK(refused("inner") == "inner is a folder; a file is needed.");
  put_bytes(folder / "most.csv", std::string(1'000'000, 'x'));
  CHECK(PartedFile(folder / "most.csv", 1).size() == 1'000'000);
  put_bytes(folder / "over.csv", std::string(1'000'001, 'x'));
  CHECK(refused("over.csv") == "over.csv is larger than 1 MB, the most that is taken.");
}

TEST_CASE("input file: a pipe without a writer and a device are refused and do not hang") {
  Folder folder;
  const auto path = folder / "pipe";
  REQUIRE(::mkfifo(path.c_str(), 0600) == 0);
  CHECK(refusal([&] { PartedFile(path, 1); }) ==
        "request: " + path.string() + " is a pipe that nothing writes to.");
  for (const char* device : {"/dev/zero", "/dev/null"})
    CHECK(refusal([&] { PartedFile(device, 1); }) ==
          "request: " + std::string(device) + " is a device; a file is needed.");
}

TEST_CASE("input file: a pipe whose writer thinks a while is waited for") {
  Folder folder;
  const auto path = folder / "pipe";
  REQUIRE(::mkfifo(path.c_str(), 0600) == 0);
  std::thread sender([&] {
    std::ofstream out(path);
    std::this_thread::sleep_for(std::chrono::milliseconds(2500));
    out << "late";
  });
  {
    PartedFile file(path, 1);
    CHECK(whole(file) == "late");
  }
  sender.join();
}
