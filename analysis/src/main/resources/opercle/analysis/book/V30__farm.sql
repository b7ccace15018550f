-- The farm as it was described, version after version. Rows are added, never changed.
-- Times are microseconds since 1970.

CREATE TABLE farm_version (
  number    BIGINT   NOT NULL PRIMARY KEY, -- in the order of recording; the highest is in force
  farm      TEXT     NOT NULL,             -- its name in that version
  time      BIGINT   NOT NULL,
  by_whom   TEXT     NOT NULL,             -- who changed it; the file's name where a hand did there
  what      TEXT     NOT NULL,             -- what is different, a sentence a line
  yaml      TEXT     NOT NULL              -- the whole farm as farm.yaml
);

-- What the farm's file said whenever it said something new, to know later what a hand changed in it.
CREATE TABLE farm_file (
  number    BIGINT   NOT NULL PRIMARY KEY,
  time      BIGINT   NOT NULL,
  yaml      TEXT     NOT NULL
);
