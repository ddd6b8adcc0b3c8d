#include "book/random.h"

#include <sys/random.h>

#include "domain/error.h"

namespace trencher::book {

std::string random_bytes(std::size_t count) {
  std::string out(count, '\0');
  if (::getrandom(out.data(), out.size(), 0) != static_cast<ssize_t>(out.size()))
    throw Error::book("The system gave no random numbers, which this needs.");
  return out;
}

}  // namespace trencher::book
