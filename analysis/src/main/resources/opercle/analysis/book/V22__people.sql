-- Who is called, version after version. Rows are added, never changed. No key is in them.
-- Times are microseconds since 1970.

CREATE TABLE people_version (
  number    BIGINT   NOT NULL PRIMARY KEY, -- in the order of recording; the highest is in force
  time      BIGINT   NOT NULL,
  by_whom   TEXT     NOT NULL,             -- who changed it; the file's name where a hand did there
  what      TEXT     NOT NULL,             -- what is different, a sentence a line
  people    TEXT     NOT NULL              -- all of them, with the keys of the configuration, as JSON
);

-- Whom the configuration named whenever it said something new, to know later what a hand changed.
CREATE TABLE people_file (
  number    BIGINT   NOT NULL PRIMARY KEY,
  time      BIGINT   NOT NULL,
  people    TEXT     NOT NULL
);
