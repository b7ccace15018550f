-- What entries of trips did to the record of their tank. Times are microseconds since 1970. Rows are
-- added, never changed. It is of this book's farm alone and goes into no trip's file.
CREATE TABLE trip_tank (
  farm      TEXT     NOT NULL,
  trip      TEXT     NOT NULL,
  entry     TEXT     NOT NULL,             -- the entry that it followed from
  version   BIGINT   NOT NULL,             -- of the farm: the one that it made, or that was in force
  changed   INTEGER  NOT NULL,             -- 1: it made that version; 0: the tank was left as it was
  time      BIGINT   NOT NULL,
  by_whom   TEXT     NOT NULL,
  PRIMARY KEY (farm, trip, entry)
);
