-- What people said that they did at a tank. Times are microseconds since 1970. Rows are added, never changed.
CREATE TABLE tank_event (
  id        TEXT     NOT NULL PRIMARY KEY, -- made of farm, tank, kind, time and person: the same one twice is one row
  farm      TEXT     NOT NULL,
  tank      TEXT     NOT NULL,
  time      BIGINT   NOT NULL,
  kind      TEXT     NOT NULL,
  by_whom   TEXT
);
CREATE INDEX tank_event_time ON tank_event (farm, tank, time);
