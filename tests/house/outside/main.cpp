// Someone else's program, built against the installed headers only.

#include <cstdio>

int main() { std::puts("outside"); }
