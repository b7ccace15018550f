-- Trips. Times are microseconds since 1970. Rows are added, never changed, but for trip_demand.

-- What people wrote: loadings, checks, unloadings, and corrections of them, which name what they correct.
-- The client gives the id, so that a form sent twice is one row.
CREATE TABLE trip_entry (
  farm      TEXT     NOT NULL,
  trip      TEXT     NOT NULL,
  id        TEXT     NOT NULL,
  number    BIGINT   NOT NULL,             -- in the order of recording
  kind      TEXT     NOT NULL,             -- loaded, check, unloaded
  tank      TEXT     NOT NULL,
  time      BIGINT   NOT NULL,             -- when it was so
  by_whom   TEXT     NOT NULL,
  corrects  TEXT,                          -- id of the entry that it takes the place of
  content   TEXT     NOT NULL,             -- all of it, JSON in the form of a trip's file
  PRIMARY KEY (farm, trip, id)
);
CREATE UNIQUE INDEX trip_entry_number ON trip_entry (farm, number);
CREATE INDEX trip_entry_tank ON trip_entry (farm, tank, time);

-- Readings and alarms that came with a trip's file, or were laid down with the trip when it ended.
CREATE TABLE trip_reading (
  farm      TEXT             NOT NULL,
  trip      TEXT             NOT NULL,
  quantity  TEXT             NOT NULL,
  probe     TEXT             NOT NULL,
  time      BIGINT           NOT NULL,
  value     DOUBLE PRECISION NOT NULL,     -- in the quantity's canonical unit
  PRIMARY KEY (farm, trip, quantity, probe, time)
);
CREATE TABLE trip_alarm (
  farm      TEXT     NOT NULL,
  trip      TEXT     NOT NULL,
  time      BIGINT   NOT NULL,
  cause     TEXT     NOT NULL,
  event     TEXT     NOT NULL,
  state     TEXT     NOT NULL,
  content   TEXT     NOT NULL,             -- JSON in the form of a trip's file
  PRIMARY KEY (farm, trip, time, cause, event, state)
);

-- What the review of a finished trip says its load breathed: worked out, so it may be written anew.
CREATE TABLE trip_demand (
  farm        TEXT             NOT NULL,
  trip        TEXT             NOT NULL,
  time        BIGINT           NOT NULL,
  species     TEXT             NOT NULL,
  mean_kg     DOUBLE PRECISION NOT NULL,
  temperature DOUBLE PRECISION NOT NULL,   -- °C
  way         TEXT             NOT NULL,   -- how it was read
  low         DOUBLE PRECISION NOT NULL,   -- mg/kg/h
  likely      DOUBLE PRECISION NOT NULL,
  high        DOUBLE PRECISION NOT NULL,
  PRIMARY KEY (farm, trip)
);
