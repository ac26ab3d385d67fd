#include "tools/show/store_words.hpp"

namespace holdwater::tools {

std::string store_words(bool has_cistern, bool has_trough) {
    if (has_cistern && has_trough) return "battery, cistern and trough";
    if (has_cistern) return "battery and cistern";
    return has_trough ? "battery and trough" : "battery";
}

std::string stores_are(bool has_cistern, bool has_trough) {
    return has_cistern || has_trough ? store_words(has_cistern, has_trough) + " are" : "the battery is";
}

}  // namespace holdwater::tools
