#ifndef TAREWISE_INTERNAL_SWITCH_H_
#define TAREWISE_INTERNAL_SWITCH_H_

// The bodies of the front rooms stand in `-inl.h` files of the back rooms. As a rule the library `tarewise::tarewise`
// holds them, compiled once, and a program's sources see declarations only. With TW_HEADER_ONLY, which the CMake target
// `tarewise::core` sets, every front-room header includes its bodies and nothing needs to be linked. One program takes
// the one or the other.
#ifdef TW_HEADER_ONLY
#define TW_INLINE inline
#else
#define TW_INLINE
#endif

#endif  // TAREWISE_INTERNAL_SWITCH_H_
