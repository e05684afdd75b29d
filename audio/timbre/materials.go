package timbre

// material is a struck body.
type material struct {
	name   string
	use    string
	hz     float64 // the lowest mode, at the beat
	attack float64 // seconds to full level: the softness of the beater
	length float64 // seconds
	level  float64 // peak of the accent, 1 at most, that makes all materials equally loud
	modes  []mode
}

// Ratios of modes are those of N. H. Fletcher and T. D. Rossing, The Physics of Musical Instruments, 2nd ed. (figures
// from memory): a bar free at both ends rings at 1 : 2.756 : 5.404 : 8.933 : 13.34 (chapter 2), a circular plate free at
// its edge at 1 : 1.73 : 2.33 : 3.91 : 4.11 : 6.30 : 6.71 (chapter 3), an ideal round membrane at the zeros of the Bessel
// functions, 1 : 1.594 : 2.136 : 2.296 : 2.653 : 2.918 (chapter 3). Levels and ringing times are chosen by ear and
// spectrum; wood and skin damp their high modes most, metal hardly any.
var materials = []material{
	{
		// A small hard block: bar modes, the lowest soon over. The modes that last a millisecond are the beater.
		name: "wood", use: "dry and woody; the plain choice in a room",
		hz: 820, attack: 0.0006, length: 0.070, level: 1,
		modes: []mode{
			{1, 1, 0.010}, {2.756, 0.55, 0.0050}, {5.404, 0.22, 0.0022}, {8.933, 0.10, 0.0012},
			{3.37, 0.20, 0.0010}, {4.21, 0.20, 0.0010}, {6.13, 0.15, 0.0008},
		},
	},
	{
		// Bar and plate at once, high modes as strong as low ones and nearly as long, so that no pitch stands out.
		name: "metal", use: "bright and ringing; cuts through brass and a full room",
		hz: 1320, attack: 0.0003, length: longest, level: 0.58,
		modes: []mode{
			{1, 0.70, 0.050}, {1.73, 0.55, 0.045}, {2.33, 0.75, 0.040}, {2.756, 0.60, 0.038}, {3.91, 0.85, 0.034},
			{4.11, 0.70, 0.032}, {5.404, 0.65, 0.028}, {6.30, 0.60, 0.024}, {6.71, 0.50, 0.022}, {8.933, 0.40, 0.016},
		},
	},
	{
		// Almost all of it between 2 and 6 kHz: above what a low wind instrument fills (a bassoon's strongest formant lies
		// near 500 Hz, common practice, no source), where hearing is keenest, and too short to be taken for a note.
		name: "flint", use: "high and short; carries over a loud low instrument such as a bassoon",
		hz: 2900, attack: 0.0003, length: 0.040, level: 1,
		modes: []mode{
			{1, 1, 0.0050}, {1.08, 0.45, 0.0040}, {1.52, 0.35, 0.0025}, {2.05, 0.20, 0.0015},
		},
	},
	{
		// A soft beater: one mode, slow to begin, little above it.
		name: "felt", use: "soft and round; for headphones and long sessions",
		hz: 440, attack: 0.005, length: longest, level: 0.6,
		modes: []mode{
			{1, 1, 0.020}, {2, 0.10, 0.012}, {3.01, 0.04, 0.006},
		},
	},
	{
		// A small drum head: the low sound for those who play high.
		name: "skin", use: "low and blunt; stays clear of a flute, piccolo or high clarinet",
		hz: 190, attack: 0.0010, length: longest, level: 0.8,
		modes: []mode{
			{1, 1, 0.022}, {1.594, 0.70, 0.016}, {2.136, 0.50, 0.012}, {2.296, 0.40, 0.011}, {2.653, 0.30, 0.009},
			{2.918, 0.25, 0.008}, {7.1, 0.30, 0.0012}, {9.7, 0.25, 0.0010}, {12.9, 0.20, 0.0008},
		},
	},
	{
		// A plate that rings long on few modes, so that its pitch is plain.
		name: "brass", use: "a small bell; its pitch stands out of a noisy room",
		hz: 1050, attack: 0.0004, length: longest, level: 0.53,
		modes: []mode{{1, 1, 0.045}, {1.73, 0.50, 0.040}, {2.33, 0.45, 0.035}, {3.91, 0.20, 0.025}},
	},
	{
		// A short hard bar: shorter than wood and brighter, lower than flint.
		name: "bone", use: "hard and dry; for fast slots, which it never blurs",
		hz: 1500, attack: 0.0003, length: 0.030, level: 1,
		modes: []mode{{1, 1, 0.0060}, {1.31, 0.30, 0.0030}, {2.756, 0.35, 0.0030}, {5.404, 0.15, 0.0015}},
	},
	{
		// Soft on soft: low, and over at once.
		name: "cork", use: "low and short; a click that is felt more than heard",
		hz: 560, attack: 0.0015, length: 0.040, level: 1,
		modes: []mode{{1, 1, 0.0060}, {2.4, 0.40, 0.0030}, {4.1, 0.15, 0.0015}},
	},
}
