#pragma once

#include <string>

namespace trencher::book {

std::string random_bytes(std::size_t count);  // the system's; Error::book where it gives none

}  // namespace trencher::book
