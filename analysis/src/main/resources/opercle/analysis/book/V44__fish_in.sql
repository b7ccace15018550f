-- Since when fish are in a tank that a version of the farm has put there, as whoever did it said.
-- Times are microseconds since 1970. Rows are added, never changed.
CREATE TABLE fish_in (
  version   BIGINT   NOT NULL,             -- of the farm: the one in which they are there first
  tank      TEXT     NOT NULL,
  time      BIGINT   NOT NULL,             -- since when; that of the version is when it was written
  PRIMARY KEY (version, tank)
);
