// What a tin is: by its product's version, since when it is open, whether it is withdrawn.
#include "shop.h"

using namespace shop;

namespace {

using Names = std::vector<std::string>;

// P1 with a second version: another kind, other contents, another wait and how long it keeps.
struct Versions : Stocked {
  Versions() {
    Product second = product("P1", "finish");
    second.version = 2;
    second.kind = "walnut-oil";
    second.contains = {"walnut"};
    second.animal_origin = "no";
    second.label.recoat_min = Figure{2 * 86400, false};
    second.label.opened_life = Figure{90 * 86400, false};
    second_entry = write("product", second.body());
    newer_tin = write("tin", own("F2", 2).body());
  }
  // A tin whose own label says only how long it waits for food, and guesses its handling.
  static Tin own(std::string id, int version) {
    Tin out = tin(std::move(id), "finish", "P1");
    out.product_version = version;
    out.label = Label{};
    out.label.food_contact = Figure{40 * 86400, false};
    out.label.handle = Figure{86400, true};
    out.contains = {"peanut"};
    return out;
  }
  std::int64_t second_entry, newer_tin;
};

std::optional<Instant> opened(const Book& book, std::string_view id) {
  const auto at = find_tin(book, id)->opened;
  return at ? std::optional(at->at) : std::nullopt;
}

}  // namespace

TEST_CASE("tin: the latest version of a product is found and each by its number") {
  Versions shop;
  const auto versions = product_versions(shop.book(), "P1");
  REQUIRE(versions.size() == 2);
  CHECK(versions[0].entry == shop.product_entry);
  CHECK(versions[0].version == 1);
  CHECK(versions[1].entry == shop.second_entry);
  CHECK(versions[1].version == 2);
  CHECK(find_product(shop.book(), "P1")->version == 2);
  CHECK(ids_of_class(shop.book(), "product") == Names{"P1"});
  CHECK(tins_of_product(shop.book(), "P1") == Names{"F1", "F2"});
  CHECK(product_versions(shop.book(), "P9").empty());
  CHECK(product_versions(shop.book(), "F1").empty());
  CHECK(next_number(shop.book(), "P") == 2);
}

TEST_CASE("tin: the figures of its version of the product lie under its own") {
  Versions shop;
  const Tin found = find_tin(shop.book(), "F2").value();
  CHECK(found.label.food_contact == Figure{40 * 86400, false});  // its own, over a guess
  CHECK(found.label.recoat_min == Figure{2 * 86400, false});
  CHECK(found.label.handle == Figure{86400, true});
  CHECK(found.label.opened_life == Figure{90 * 86400, false});
  CHECK(found.label.mechanism == Mechanism::oxidative);
  CHECK(found.label.basis == "invented for the tests");
  CHECK(found.kind == "walnut-oil");
  CHECK(found.contains == Names{"walnut"});
  CHECK(found.animal_origin == "no");
  CHECK(found.name == "Example finish");  // what stands on the tin itself
  CHECK(found.lot == "L-7");
  const Tin older = find_tin(shop.book(), "F1").value();
  CHECK(older.product_version == 1);  // written before there were versions
  CHECK(older.kind == "raw-tung-oil");
  CHECK(older.contains.empty());
  CHECK(older.label.recoat_min == Figure{86400, false});
  CHECK_FALSE(older.label.opened_life);
}

TEST_CASE("tin: a tin of no product or of a version that nobody entered says what it says") {
  Versions shop;
  shop.write("tin", Versions::own("F3", 3).body());
  Tin alone = tin("F4", "finish");
  alone.contains = {"peanut"};
  shop.write("tin", alone.body());
  CHECK(find_tin(shop.book(), "F3")->label == Versions::own("F3", 3).label);
  CHECK(find_tin(shop.book(), "F3")->contains == Names{"peanut"});
  CHECK(find_tin(shop.book(), "F4")->label == oil_label());
  CHECK(find_tin(shop.book(), "F4")->contains == Names{"peanut"});
  CHECK(find_tin(shop.book(), "F4")->product_version == 0);
}

TEST_CASE("tin: a corrected version of a product reaches the boards that its tins are on") {
  Versions shop;
  shop.write("batch", batch("26-002", 1, {"W1"}, {}).body());
  shop.write(coat("26-002", "F2"));
  shop.write("sign-off", sign_off("26-002", {1}).body());
  CHECK(batches_reached(shop.book(), shop.second_entry) == Names{"26-001", "26-002"});
  Product mended = find_product(shop.book(), "P1").value();
  mended.contains = {"sesame"};
  mended.label.recoat_min = Figure{3 * 86400, false};
  const auto correction = shop.correct(shop.second_entry, mended.body());
  CHECK(find_tin(shop.book(), "F2")->contains == Names{"sesame"});
  CHECK(find_tin(shop.book(), "F2")->label.recoat_min == Figure{3 * 86400, false});
  CHECK(find_tin(shop.book(), "F1")->contains.empty());
  CHECK_FALSE(pieces_of(shop.book(), "26-002")[0].signed_off);
  shop.strike(correction);
  CHECK(find_tin(shop.book(), "F2")->contains == Names{"walnut"});
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("tin: a version of a product that a tin is of cannot be struck") {
  Versions shop;
  CHECK_FALSE(would_vanish(shop.book(), shop.second_entry, nullptr).empty());
  CHECK_FALSE(would_vanish(shop.book(), shop.product_entry, nullptr).empty());
  shop.strike(shop.newer_tin);
  CHECK(would_vanish(shop.book(), shop.second_entry, nullptr).empty());
  shop.strike(shop.second_entry);
  CHECK(find_product(shop.book(), "P1")->version == 1);
}

TEST_CASE("tin: it is open since it was opened or first used whichever came first") {
  Stocked shop;
  CHECK_FALSE(opened(shop.book(), "F1"));  // planned for a batch is not used
  const auto used = shop.write("coat", coat("26-001", "F1").body(), time("2026-02-10T10:00:00Z"));
  CHECK(opened(shop.book(), "F1") == time("2026-02-10T10:00:00Z"));
  const auto word =
      shop.write("open", Json::object().set("tin", "F1"), time("2026-02-01T09:00:00Z"));
  CHECK(opened(shop.book(), "F1") == time("2026-02-01T09:00:00Z"));
  CHECK(find_tin(shop.book(), "F1")->opened->offset_minutes == 60);
  const auto mixed =
      shop.write("mix", mix("F2", "finish", {"F1"}).body(), time("2026-01-20T09:00:00Z"));
  CHECK(opened(shop.book(), "F1") == time("2026-01-20T09:00:00Z"));
  CHECK_FALSE(opened(shop.book(), "F2"));  // made, and not yet used
  shop.write("note", Json::object().set("about", "F1").set("text", "x"),
             time("2026-01-08T09:00:00Z"));
  shop.strike(mixed);
  CHECK(opened(shop.book(), "F1") == time("2026-02-01T09:00:00Z"));
  shop.strike(word);
  shop.strike(used);
  CHECK_FALSE(opened(shop.book(), "F1"));
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("tin: an amended opening reopens what the tin is on") {
  Stocked shop;
  shop.write(coat("26-001", "F1", {1}));
  const auto word = shop.write("open", Json::object().set("tin", "F1"));
  shop.write("sign-off", sign_off("26-001", {1}).body());
  CHECK(batches_reached(shop.book(), word) == Names{"26-001"});
  shop.strike(word);
  CHECK_FALSE(pieces_of(shop.book(), "26-001")[0].signed_off);
}

TEST_CASE("tin: withdrawals are found by tin and all together once each until they are struck") {
  Stocked shop;
  shop.write("tin", tin("F2", "finish").body());
  const auto both =
      shop.write("withdraw", Withdrawal{.ids = {"F1", "F2"}, .why = "a notice"}.body());
  const auto one = shop.write("withdraw", Withdrawal{.ids = {"F1"}, .why = "again"}.body());
  REQUIRE(withdrawals_of(shop.book(), "F1").size() == 2);
  CHECK(withdrawals_of(shop.book(), "F2").at(0).entry == both);
  CHECK(withdrawals_of(shop.book(), "F2").at(0).why == "a notice");
  CHECK(withdrawals_of(shop.book(), "F2").at(0).ids == Names{"F1", "F2"});
  CHECK(withdrawals(shop.book()).size() == 2);
  shop.strike(both);
  CHECK(withdrawals_of(shop.book(), "F2").empty());
  REQUIRE(withdrawals(shop.book()).size() == 1);
  CHECK(withdrawals(shop.book())[0].entry == one);
  CHECK(problems_of(shop.book()).empty());
}
