-- Calls to people, and what became of each. Times are microseconds since 1970. Rows are added, never
-- changed, but for calling_state, and for a link whose use came to nothing.

CREATE TABLE call_made (
  id        TEXT     NOT NULL PRIMARY KEY, -- the call's key, which receivers see too
  farm      TEXT     NOT NULL,
  number    BIGINT   NOT NULL,             -- in the order of recording
  time      BIGINT   NOT NULL,
  person    TEXT     NOT NULL,
  channel   TEXT     NOT NULL,
  kind      TEXT     NOT NULL,
  tank      TEXT,                          -- the first alarm that it is about
  cause     TEXT,
  since     BIGINT,
  words     TEXT     NOT NULL              -- its subject
);
CREATE UNIQUE INDEX call_made_number ON call_made (farm, number);
CREATE INDEX call_made_alarm ON call_made (farm, tank, cause, since);
CREATE INDEX call_made_person ON call_made (farm, kind, person, channel);

-- queued, sent, accepted, failed, acknowledged
CREATE TABLE call_delivery (
  farm      TEXT     NOT NULL,
  number    BIGINT   NOT NULL,
  call_id   TEXT     NOT NULL,
  time      BIGINT   NOT NULL,
  what      TEXT     NOT NULL,
  reason    TEXT,                          -- why it failed, what was answered, who has it
  PRIMARY KEY (farm, number)
);
CREATE INDEX call_delivery_call ON call_delivery (call_id, number);

-- Links by which somebody said that they have an alarm. A link works once.
CREATE TABLE link_used (
  nonce     TEXT     NOT NULL PRIMARY KEY,
  time      BIGINT   NOT NULL,
  person    TEXT     NOT NULL
);

-- What calling knew last: who was told what, and what is still to be told. One row a farm, rewritten.
CREATE TABLE calling_state (
  farm      TEXT     NOT NULL PRIMARY KEY,
  time      BIGINT   NOT NULL,
  state     TEXT     NOT NULL
);
