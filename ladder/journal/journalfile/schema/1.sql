-- One row a history: what is known of a step under whatever name and in whatever routine.
CREATE TABLE step (
	id      INTEGER PRIMARY KEY,
	routine TEXT NOT NULL,              -- where it was met last
	name    TEXT NOT NULL,
	piece   TEXT NOT NULL DEFAULT '',
	first   INTEGER NOT NULL DEFAULT 0, -- bars
	last    INTEGER NOT NULL DEFAULT 0,
	goal    INTEGER NOT NULL DEFAULT 0, -- tempos are in thousandths of a bpm
	stood   TEXT NOT NULL DEFAULT '',   -- where it was left, in the words of a routine, as JSON
	left_at INTEGER NOT NULL DEFAULT 0, -- times are in milliseconds since 1970, UTC
	left_in INTEGER NOT NULL DEFAULT 0  -- and the place's minutes east of UTC
) STRICT;

-- Where a history is found: a routine's file and a step's name in it.
CREATE TABLE place (
	routine TEXT NOT NULL,
	name    TEXT NOT NULL,
	step    INTEGER NOT NULL REFERENCES step,
	PRIMARY KEY (routine, name)
) STRICT, WITHOUT ROWID;

-- How a step was practised.
CREATE TABLE form (
	id      INTEGER PRIMARY KEY,
	step    INTEGER NOT NULL REFERENCES step,
	piece   TEXT NOT NULL,
	first   INTEGER NOT NULL,
	last    INTEGER NOT NULL,
	goal    INTEGER NOT NULL,
	start   TEXT NOT NULL,    -- of the chunk: 18:2+1/2
	beats   TEXT NOT NULL,    -- of the chunk: 3/2
	landing INTEGER NOT NULL,
	angle   TEXT NOT NULL,
	slots   TEXT NOT NULL,
	pulse   TEXT NOT NULL,
	rule    TEXT NOT NULL,
	clean   INTEGER NOT NULL, -- in a row that make a footing
	loop    INTEGER NOT NULL, -- beats of a rep with its breath
	UNIQUE (step, piece, first, last, goal, start, beats, landing, angle, slots, pulse, rule, clean, loop)
) STRICT;

CREATE TABLE session (
	id    INTEGER PRIMARY KEY,
	key   INTEGER NOT NULL UNIQUE,
	start INTEGER NOT NULL,
	zone  INTEGER NOT NULL,  -- minutes east of UTC
	ended INTEGER NOT NULL   -- when its last rep ended
) STRICT;
CREATE INDEX session_start ON session (start);

CREATE TABLE rep (
	session INTEGER NOT NULL REFERENCES session,
	number  INTEGER NOT NULL,
	at      INTEGER NOT NULL, -- milliseconds after the session's start
	form    INTEGER NOT NULL REFERENCES form,
	routine INTEGER NOT NULL REFERENCES routine,
	tempo   INTEGER NOT NULL,
	rung    INTEGER NOT NULL, -- from 0, -1 off the ladder
	verdict INTEGER NOT NULL, -- 0 none, 1 clean, 2 rough, 3 skip
	source  INTEGER NOT NULL, -- 0 nobody, 1 player, 2 ears, 3 hands free
	sure    REAL NOT NULL,    -- the ears of their verdict, 0 to 1
	whole   INTEGER NOT NULL,
	PRIMARY KEY (session, number)
) STRICT, WITHOUT ROWID;

-- The files that were practised from.
CREATE TABLE routine (
	id   INTEGER PRIMARY KEY,
	path TEXT NOT NULL UNIQUE
) STRICT;

-- What the reps of a session in one form come to; and what was remembered before there was a journal, as session and
-- form 0.
CREATE TABLE tally (
	step    INTEGER NOT NULL REFERENCES step,
	day     INTEGER NOT NULL, -- since 1 January 1970
	session INTEGER NOT NULL,
	form    INTEGER NOT NULL,
	reps    INTEGER NOT NULL,
	clean   INTEGER NOT NULL,
	rough   INTEGER NOT NULL,
	best    INTEGER NOT NULL,
	footing INTEGER NOT NULL,
	looped  INTEGER NOT NULL, -- milliseconds
	PRIMARY KEY (step, day, session, form)
) STRICT, WITHOUT ROWID;
CREATE INDEX tally_session ON tally (session);
CREATE INDEX tally_day ON tally (day, looped, reps, clean, rough);

CREATE TABLE mark (
	id   INTEGER PRIMARY KEY,
	step INTEGER NOT NULL REFERENCES step,
	at   INTEGER NOT NULL,
	zone INTEGER NOT NULL,
	note TEXT NOT NULL, -- the place of a note; empty for the step as a whole
	text TEXT NOT NULL  -- empty where the mark was taken away
) STRICT;
CREATE INDEX mark_step ON mark (step, at);
CREATE INDEX mark_at ON mark (at);
