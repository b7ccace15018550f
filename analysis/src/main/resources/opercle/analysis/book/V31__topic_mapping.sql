-- Which topic of a probe feeds which tank, as people assigned it on the pages. Rows are added, never
-- changed: the newest of a topic and pointer counts, and one without a tank takes it back.
CREATE TABLE topic_mapping (
  number    BIGINT   NOT NULL PRIMARY KEY,
  time      BIGINT   NOT NULL,             -- microseconds since 1970
  by_whom   TEXT     NOT NULL,
  topic     TEXT     NOT NULL,
  pointer   TEXT     NOT NULL,             -- JSON Pointer to the value; empty for the whole message
  tank      TEXT,                          -- none: taken back
  quantity  TEXT,
  probe     TEXT,
  unit      TEXT                           -- none: the quantity's own
);
