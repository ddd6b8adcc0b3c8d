#include <fmt/format.h>

#include "book/queries.h"
#include "commands/choosing.h"
#include "commands/command.h"
#include "commands/input_file.h"
#include "commands/shop.h"
#include "paper/picture.h"

namespace trencher::commands {
namespace {

constexpr std::size_t most_megabytes = 5;  // what a phone makes

}  // namespace

int photograph(Call& call) {
  std::string code, file;
  call.word("BATCH", code, "code of the batch");
  call.word(
      "FILE", file,
      fmt::format("a JPEG of its boards, at most {} MB, its sides of {} to {} pixels and at "
                  "most {} million in all; a later one takes its place",
                  most_megabytes, paper::fewest_pixels, paper::most_side, paper::most_megapixels));
  call.parse();
  call.need(code, "BATCH", {"Which batch", [&] { return batches_to_choose(call); }});
  call.need(file, "FILE", "The photograph, a JPEG");
  Photograph photograph;
  photograph.batch = need_batch(call, code).code;
  const InputFile picture = read_input(file, most_megabytes);
  const paper::PixelSize size = paper::demand_picture(picture.bytes, picture.name);
  photograph.file_name = picture.name;
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const bool replaces = book::photograph_of(call.book(), photograph.batch).has_value();
  photograph.file_sha256 = writing.keep_file(picture.bytes);
  Json body = photograph.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("photograph", body, stamp);
  writing.commit();
  return call.wrote(
      entry, photograph.batch, {},
      fmt::format("Photograph of {}: {}, {} × {} pixels; entry {}.{} It is kept as it is; what a "
                  "phone wrote into it, as where it was taken, goes out with no paper.",
                  photograph.batch, photograph.file_name, size.width, size.height, entry,
                  replaces ? " It takes the place of the one before." : ""));
}

}  // namespace trencher::commands
