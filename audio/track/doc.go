// Package track keeps sound in files: it writes WAV, and reads WAV and FLAC.
//
// Writing is streamed ([Writer]), marks places with cue points and labels, and
// is whole or not at all when it goes through [Create]. Reading is streamed too
// ([Open], [NewReader]) with memory that doesn't depend on the file or on what
// its header claims; [Mono], [Channel] and [Resample] turn what is read into the
// one channel and the one rate that an analysis asks for. Marks come back with
// [Reader.Marks].
//
// # Why the WAV reader is our own
//
// Two libraries of the Go world were tried on files made by sox and on headers
// made by hand. github.com/go-audio/wav v1.1.0 returns the bits of a 32-bit
// float as if they were an integer, has no 64-bit float, ignores the sub-format
// of WAVE_FORMAT_EXTENSIBLE, allocates on every read, and took 1 GiB of memory for
// a 60-byte file whose LIST chunk claimed that size. github.com/gopxl/beep/v2/wav
// v2.1.1 has no float and no 32-bit integers, and took 2 GiB for the same file.
// Neither finds the sound of a file whose length was left 0. A take comes from
// wherever the player recorded it, so all of these happen.
//
// FLAC is read through github.com/mewkiz/flac; see [QuietLog] for a habit of its.
//
// # Samples
//
// Samples are float32, interleaved by frame, with ±1 as full scale. An integer
// sample k of b bits is k / 2^(b-1) both ways, so integers survive a round trip
// unchanged; see [Encoding] for what happens to samples between two integers.
//
// Nothing here is safe for concurrent use by several goroutines unless it says so.
package track
