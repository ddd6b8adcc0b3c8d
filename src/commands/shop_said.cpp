#include "commands/shop_said.h"

namespace trencher::commands {

bool same_cross_contact(const Workshop& a, const Workshop& b) {
  return a.cross_contact_declared == b.cross_contact_declared && a.cross_contact == b.cross_contact;
}

std::vector<book::WorkshopStatement> set_by(std::vector<book::WorkshopStatement> stated,
                                            SameSetting same) {
  for (std::size_t i = 1; i < stated.size(); ++i)
    if (same(stated[i - 1].said, stated[i].said)) stated[i].entry = stated[i - 1].entry;
  return stated;
}

}  // namespace trencher::commands
