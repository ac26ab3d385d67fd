#include "tools/show/wrap_text.hpp"

#include <sstream>

namespace holdwater::tools {

void wrap(std::string& out, std::string const& head, std::string const& text, std::size_t width) {
    std::istringstream words(text);
    std::string line = head, word;
    bool empty = true;
    while (words >> word) {
        if (!empty && line.size() + 1 + word.size() > width) {
            out += line + "\n";
            line = std::string(head.size(), ' ');
            empty = true;
        }
        line += (empty ? "" : " ") + word;
        empty = false;
    }
    out += line + "\n";
}

}  // namespace holdwater::tools
