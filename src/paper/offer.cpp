#include "paper/offer.h"

#include <initializer_list>

#include "paper/phrases.h"
#include "paper/plain_text.h"

namespace trencher::paper {
namespace {

class Offer {
 public:
  explicit Offer(const OfferContent& content)
      : content_(content), words_("offer", content.language) {}

  std::string text() {
    lay_product();
    lay_maker();
    lay_contents();
    lay_care();
    return std::move(out_);
  }

 private:
  void head(std::string_view part) {
    if (!out_.empty()) out_ += "\n";
    append_wrapped(out_, words_(part));
  }

  void item(std::string_view part, std::initializer_list<Words::Value> values = {}) {
    append_wrapped(out_, words_(part, values), "- ", "  ");
  }

  // Left out where there is nothing to say.
  void item_of(std::string_view part, const char* name, const std::string& value) {
    if (!value.empty()) item(part, {{name, value}});
  }

  void lay_product() {
    head("heading-product");
    item_of("use", "use", content_.use);
    item_of("size", "size", content_.size);
    if (content_.woods.empty())
      item("woods-unknown");
    else
      item("woods", {{"woods", content_.woods}});
    item_of("finish", "finish", content_.finish);
    item_of("glue", "glue", content_.glue);
    item_of("others", "others", content_.others);
    item("code", {{"batch", content_.batch}});
    item_of("picture", "picture", content_.picture);
  }

  void lay_maker() {
    head("heading-maker");
    for (const std::string* line : {&content_.maker, &content_.address, &content_.contact})
      append_wrapped(out_, *line);
    if (content_.responsible.empty()) return;
    head("heading-responsible");
    append_wrapped(out_, content_.responsible);
  }

  void lay_contents() {
    head("heading-contents");
    item_of("contains", "things", content_.contains);
    item_of("none-recorded", "things", content_.none_recorded);
    item_of("not-known", "things", content_.not_known);
    item_of("shared", "things", content_.shared);
    item("list", {{"list", content_.list}});
    item("allergy");
  }

  void lay_care() {
    head("heading-care");
    if (!content_.for_food)
      item("toy");
    else if (content_.first_contact == OfferContact::unknown)
      item("contact-unknown");
    else
      item(content_.first_contact == OfferContact::guessed ? "contact-guessed" : "contact-from",
           {{"day", content_.first_contact_on}});
    item("wash");
    item("dry");
    item("no-dishwasher");
    if (content_.for_cutting) item("raw-meat");
    if (content_.for_food) item("grooves");
    if (content_.self_heating) item("rags");
    item("local");
  }

  const OfferContent& content_;
  Words words_;
  std::string out_;
};

}  // namespace

std::string offer_text(const OfferContent& content) { return Offer(content).text(); }

}  // namespace trencher::paper
