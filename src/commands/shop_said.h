// Which entry set what the workshop's settings say: each entry states them all, changed or not.
#pragma once

#include <vector>

#include "book/queries.h"

namespace trencher::commands {

using SameSetting = bool (*)(const Workshop& a, const Workshop& b);
bool same_cross_contact(const Workshop& a, const Workshop& b);

// In their order, each under the number of the entry from which what `same` compares is as in it.
std::vector<book::WorkshopStatement> set_by(std::vector<book::WorkshopStatement> stated,
                                            SameSetting same);

}  // namespace trencher::commands
