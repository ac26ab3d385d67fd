#include "weather/unit_expression.hpp"

#include <fmt/format.h>

#include <array>
#include <cstddef>

namespace holdwater::weather {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_'; }

// Characters outside ASCII that a unit may have: degree, micro (two of them), ohm (two), superscripts.
constexpr std::array<std::string_view, 16> name_signs{"°", "µ", "μ", "Ω", "\u2126", "¹", "²", "³",
                                                      "⁰", "⁴", "⁵", "⁶", "⁷",      "⁸", "⁹", "⁻"};

class UnitReader {
  public:
    explicit UnitReader(std::string_view text) : text_(text) {}

    UnitExpression run() {
        skip_blank();
        if (starts("1")) {  // "1/K"
            auto const before = at_++;
            skip_blank();
            if (at_ >= text_.size() || text_[at_] != '/') at_ = before;
            if (at_ < text_.size() && text_[at_] == '/') ++at_;
        }
        bool name_is_due = true;
        int open = 0;
        for (skip_blank(); at_ < text_.size() && found_.problem.empty(); skip_blank()) {
            if (starts("(")) {
                ++at_;
                ++open;
                name_is_due = true;
            } else if (starts(")") && open > 0 && !name_is_due) {
                ++at_;
                --open;
            } else if (!name_is_due && (starts("/") || starts(".") || starts("*") || starts("·"))) {
                at_ += starts("·") ? 2 : 1;
                name_is_due = true;
            } else if (length_of_sign() > 0 &&
                       (name_is_due || text_[at_ - 1] == ' ' || text_[at_ - 1] == '\t')) {
                name();
                name_is_due = false;
            } else {
                refuse();
            }
        }
        if (found_.problem.empty() && (name_is_due || open > 0)) found_.problem = "the unit is not complete";
        return std::move(found_);
    }

  private:
    bool starts(std::string_view with) const { return text_.substr(at_).starts_with(with); }

    void skip_blank() {
        while (at_ < text_.size() && (text_[at_] == ' ' || text_[at_] == '\t')) ++at_;
    }

    // Length in bytes of the character here if a name may begin with it; otherwise 0.
    std::size_t length_of_sign() const {
        return starts("%") || starts("'") || starts("\"") ? 1 : length_of_letter();
    }
    // The same for a character with which a name may continue.
    std::size_t length_of_letter() const {
        if (at_ < text_.size() && is_letter(text_[at_])) return 1;
        for (auto const sign : name_signs)
            if (starts(sign)) return sign.size();
        return 0;
    }

    void name() {
        auto const from = at_;
        if (starts("%") || starts("'") || starts("\"")) {  // a name of its own, without an exponent
            found_.names.emplace_back(text_.substr(at_++, 1));
            return;
        }
        while (length_of_letter() > 0 || (at_ < text_.size() && is_digit(text_[at_])))
            at_ += is_digit(text_[at_]) ? 1 : length_of_letter();
        auto last = at_;
        while (is_digit(text_[last - 1])) --last;  // "m3"
        found_.names.emplace_back(text_.substr(from, last - from));
        // "m3" has an exponent; in "gal1", "h000" and "per12" the number is a mistake.
        auto const digits = text_.substr(last, at_ - last);
        if (!digits.empty() && (digits.size() > 1 || digits[0] < '2' || found_.names.back() == "per"))
            found_.problem = fmt::format("there is a second number, \"{}\"", digits);
        std::size_t exponent = at_;
        if (starts("**"))
            exponent += 2;
        else if (starts("^"))
            exponent += 1;
        bool const marked = exponent > at_;
        if (exponent < text_.size() && text_[exponent] == '-') ++exponent;
        auto end = exponent;
        while (end < text_.size() && is_digit(text_[end])) ++end;
        bool const negative = exponent > 0 && text_[exponent - 1] == '-';
        auto const power = text_.substr(exponent, end - exponent);
        if (end > exponent && last == at_ && power.size() == 1 &&
            (power[0] > '1' || (negative && power[0] == '1')))
            at_ = end;
        else if (marked)
            refuse();
        if (starts("(")) found_.problem = fmt::format("\"{}(\" is not understood", found_.names.back());
    }

    void refuse() {
        if (at_ < text_.size() && is_digit(text_[at_])) {
            auto end = at_;
            while (end < text_.size() && (is_digit(text_[end]) || text_[end] == '.' || text_[end] == ','))
                ++end;
            found_.problem = fmt::format("there is a second number, \"{}\"", text_.substr(at_, end - at_));
        } else {
            auto end = at_ + 1;
            while (end < text_.size() && (static_cast<unsigned char>(text_[end]) & 0xC0U) == 0x80U) ++end;
            auto const sign = text_.substr(at_, end - at_);
            found_.problem = sign.size() == 1 && (static_cast<unsigned char>(sign[0]) < 0x20 ||
                                                  static_cast<unsigned char>(sign[0]) > 0x7E)
                                 ? std::string("there is a character that is no part of a unit")
                                 : fmt::format("\"{}\" is no part of a unit", sign);
        }
    }

    std::string_view text_;
    std::size_t at_ = 0;
    UnitExpression found_;
};

}  // namespace

UnitExpression read_unit_expression(std::string_view text) { return UnitReader(text).run(); }

}  // namespace holdwater::weather
