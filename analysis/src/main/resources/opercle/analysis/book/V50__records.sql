-- The records of movements of fish: what was entered, by whom and when. Rows are added, never
-- changed; a correction is a row of its own that names the one it corrects. Times are microseconds
-- since 1970.
CREATE TABLE record_entry (
  id        TEXT     NOT NULL,             -- made where it was entered, so that sent twice is one row
  farm      TEXT     NOT NULL,
  number    BIGINT   NOT NULL,             -- in the order of recording
  time      BIGINT   NOT NULL,
  by_whom   TEXT     NOT NULL,
  kind      TEXT     NOT NULL,             -- water, party, permit, health-check, health-rule, movement
  fields    TEXT     NOT NULL,             -- JSON: what it says
  corrects  TEXT,                          -- the id of the entry that was wrong
  why       TEXT,
  withdraws SMALLINT NOT NULL,             -- 1: the entry should not have been made at all
  PRIMARY KEY (farm, id)
);
CREATE UNIQUE INDEX record_entry_number ON record_entry (farm, number);
