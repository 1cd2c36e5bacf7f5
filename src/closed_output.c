/* Where standard output is closed (`leaklight solve house.ron >&-`), Rust puts /dev/null in its place before `main`, and an answer that nobody got would
   count as given. This runs before that and puts a device there which takes nothing, so that writing fails and is told of. */

#include <fcntl.h>
#include <unistd.h>

__attribute__((constructor)) static void let_closed_output_fail(void) {
    if (fcntl(1, F_GETFD) != -1) {
        return;
    }
    int full = open("/dev/full", O_WRONLY);
    if (full >= 0 && full != 1) {
        dup2(full, 1);
        close(full);
    }
}
