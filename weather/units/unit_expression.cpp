#include "weather/units/unit_expression.hpp"

#include <fmt/format.h>

#include <array>
#include <cstddef>

namespace holdwater::weather {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_'; }

// Characters outside ASCII that a name may have: degree, micro (two of them), ohm (two).
constexpr std::array<std::string_view, 5> name_signs{"°", "µ", "μ", "Ω", "\u2126"};
constexpr std::array<std::string_view, 4> superscripts{"", "¹", "²", "³"};
constexpr int largest_power = 255;

class UnitReader {
  public:
    explicit UnitReader(std::string_view text) : text_(text) {}

    UnitExpression run() {
        skip_blank();
        if (starts("1")) {  // "1/K"
            auto const before = at_++;
            skip_blank();
            if (starts("/")) {
                found_.steps.push_back({Kind::name, "1"});
                due_.push_back('/');
                ++at_;
            } else {
                at_ = before;
            }
        }
        for (skip_blank(); at_ < text_.size() && found_.problem.empty(); skip_blank()) part();
        if (found_.problem.empty() && (name_is_due_ || !due_.empty()))
            found_.problem = "the unit is not complete";
        return std::move(found_);
    }

  private:
    using Kind = UnitExpression::Step::Kind;

    bool starts(std::string_view with) const { return text_.substr(at_).starts_with(with); }
    bool blank_at(std::size_t at) const {
        return at < text_.size() && (text_[at] == ' ' || text_[at] == '\t');
    }
    bool blank_before() const { return at_ > 0 && blank_at(at_ - 1); }

    void skip_blank() {
        while (blank_at(at_)) ++at_;
    }

    // What stands here: a bracket, a sign between units, a name.
    void part() {
        if (starts("(")) {
            if (!name_is_due_) due_.push_back('*');
            due_.push_back('(');
            name_is_due_ = true;
            ++at_;
            if (blank_at(at_)) found_.problem = "there is a space behind \"(\"";
        } else if (starts(")") && !name_is_due_ && due_.find('(') != std::string::npos) {
            if (blank_before()) found_.problem = "there is a space before \")\"";
            due_.pop_back();
            complete();
            ++at_;
        } else if (!name_is_due_ && starts("/")) {
            join('/', 1);
        } else if (!name_is_due_ && (starts(".") || starts("*") || starts("·"))) {
            std::size_t const length = starts("·") ? 2 : 1;
            if (blank_before() || blank_at(at_ + length))
                found_.problem = fmt::format("there is a space beside \"{}\"", text_.substr(at_, length));
            join('*', length);
        } else if (!name_is_due_ && is_per()) {
            join('/', 3);
        } else if (name_is_due_
                       ? length_of_sign() > 0
                       : (blank_before() && length_of_sign() > 0) || (raised_ && length_of_letter() > 0)) {
            if (!name_is_due_) due_.push_back('*');
            name();
            complete();
        } else {
            refuse();
        }
    }

    void join(char sign, std::size_t length) {
        due_.push_back(sign);
        name_is_due_ = true;
        at_ += length;
    }

    // A unit has been read: the sign before it can be worked out.
    void complete() {
        name_is_due_ = false;
        if (due_.empty() || due_.back() == '(') return;
        found_.steps.push_back({due_.back() == '/' ? Kind::per : Kind::times});
        due_.pop_back();
    }

    // "gal per day". As in UDUNITS "gal perday" is the same, so behind another unit "perm" is no unit.
    bool is_per() const {
        auto const same = [&](std::size_t i, char c) {
            return text_[at_ + i] == c || text_[at_ + i] == c - 32;
        };
        return at_ + 3 <= text_.size() && same(0, 'p') && same(1, 'e') && same(2, 'r') &&
               (blank_before() || (raised_ && blank_at(at_ + 3)));
    }

    // Of the character here as one a name may begin with, in bytes; 0: none.
    std::size_t length_of_sign() const {
        return starts("%") || starts("'") || starts("\"") ? 1 : length_of_letter();
    }
    // The same of one it may go on with.
    std::size_t length_of_letter() const {
        if (at_ < text_.size() && is_letter(text_[at_])) return 1;
        for (auto const sign : name_signs)
            if (starts(sign)) return sign.size();
        return 0;
    }

    void name() {
        auto const from = at_;
        raised_ = false;
        if (starts("%") || starts("'") || starts("\"")) {  // stands alone, without an exponent
            found_.steps.push_back({Kind::name, std::string(text_.substr(at_++, 1))});
            return;
        }
        while (length_of_letter() > 0 || (at_ < text_.size() && is_digit(text_[at_])))
            at_ += is_digit(text_[at_]) ? 1 : length_of_letter();
        auto last = at_;
        while (is_digit(text_[last - 1])) --last;  // "m3"
        found_.steps.push_back({Kind::name, std::string(text_.substr(from, last - from))});
        auto& step = found_.steps.back();
        // "m3" has an exponent; "gal1", "h000" and "per12" have a number too many.
        auto const digits = text_.substr(last, at_ - last);
        if (digits.empty())
            exponent(step);
        else if (digits.size() > 1 || digits[0] < '2' || step.name == "per")
            found_.problem = fmt::format("there is a second number, \"{}\"", digits);
        else
            step.power = digits[0] - '0';
        if (!digits.empty() && (starts("^") || starts("**"))) refuse();
        if (starts("(")) found_.problem = fmt::format("\"{}(\" is not understood", step.name);
    }

    // "^2", "**2", "-1", "^-1", "²" behind a name, or nothing.
    void exponent(UnitExpression::Step& step) {
        int high = 0;
        for (bool more = true; more;) {
            more = false;
            for (std::size_t i = 1; i < superscripts.size(); ++i)
                if (starts(superscripts[i]) && high <= largest_power) {
                    high = 10 * high + static_cast<int>(i);
                    at_ += superscripts[i].size();
                    raised_ = more = true;
                }
        }
        if (high > largest_power) found_.problem = fmt::format("the exponent {} is too high", high);
        if (raised_) {
            step.power = high;
            if (at_ < text_.size() && (is_digit(text_[at_]) || starts("^") || starts("**"))) refuse();
            return;
        }
        std::size_t at = at_ + (starts("**") ? 2 : starts("^") ? 1 : 0);
        bool const marked = at > at_;
        bool const negative = at < text_.size() && text_[at] == '-';
        if (negative) ++at;
        auto end = at;
        while (end < text_.size() && is_digit(text_[end])) ++end;
        auto const digits = text_.substr(at, end - at);
        if (digits.size() == 1 && (digits[0] > '1' || (negative && digits[0] == '1'))) {
            step.power = (digits[0] - '0') * (negative ? -1 : 1);
            at_ = end;
        } else if (marked) {
            refuse();
        }
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
    std::string due_;  // signs whose right side is still being read: '(', '*', '/'
    bool name_is_due_ = true;
    bool raised_ = false;  // the last name ended with "²" or the like: another may follow at once
    UnitExpression found_;
};

}  // namespace

UnitExpression read_unit_expression(std::string_view text) { return UnitReader(text).run(); }

std::optional<Unit> unit_of(UnitExpression const& expression, UnitWords words) {
    if (!expression.problem.empty()) return std::nullopt;
    std::vector<Unit> stack;
    for (auto const& step : expression.steps) {
        if (step.kind == UnitExpression::Step::Kind::name) {
            auto const unit = step.name == "1" ? Unit{} : unit_named(step.name, words);
            if (!unit) return std::nullopt;
            stack.push_back(step.power == 1 ? *unit : raised(*unit, step.power));
            continue;
        }
        auto const right = stack.back();
        stack.pop_back();
        stack.back() =
            product(stack.back(), step.kind == UnitExpression::Step::Kind::per ? raised(right, -1) : right);
    }
    return stack.back();
}

}  // namespace holdwater::weather
