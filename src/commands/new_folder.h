// A folder that a command fills: as a whole or not at all, readable to its owner alone.
#pragma once

#include <filesystem>
#include <string>

namespace trencher::commands {

class NewFolder {
 public:
  // Error::request, naming `option`, where the folder holds something or is none.
  NewFolder(const std::string& option, const std::string& typed);
  ~NewFolder();
  NewFolder(const NewFolder&) = delete;
  NewFolder& operator=(const NewFolder&) = delete;

  const std::filesystem::path& path() const { return path_; }
  // Where its files are to be written, each whole and synced; made on first use.
  const std::filesystem::path& staged();
  // Gives what was written its name.
  void finish();
  // Without this it goes again with the object, as where the export beside it failed.
  void keep() { written_ = false; }

 private:
  std::filesystem::path path_, staged_;
  bool was_there_ = false, written_ = false;
};

}  // namespace trencher::commands
