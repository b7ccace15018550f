-- Times are microseconds since 1970. Rows are added, never changed.

-- What happened to alarms, as told to everybody else.
CREATE TABLE alarm_event (
  id          TEXT             NOT NULL PRIMARY KEY, -- made of farm, tank, cause, event and time: the same event twice is one row
  number      BIGINT           NOT NULL,             -- in the order of recording
  farm        TEXT             NOT NULL,
  tank        TEXT             NOT NULL,
  cause       TEXT             NOT NULL,
  since       BIGINT           NOT NULL,             -- when this occurrence of the alarm was raised
  time        BIGINT           NOT NULL,
  event       TEXT             NOT NULL,
  priority    TEXT             NOT NULL,
  state       TEXT             NOT NULL,             -- after the event
  annunciated SMALLINT         NOT NULL,             -- 1: it calls for a person
  by_whom     TEXT,
  until       BIGINT,
  root_tank   TEXT,                                  -- the alarm that speaks for this one
  root_cause  TEXT,
  tanks       TEXT             NOT NULL,             -- ids with blanks between: the tanks that it speaks for
  minutes     DOUBLE PRECISION,                      -- likely time in hand
  oxygen      DOUBLE PRECISION,                      -- mg/L
  message     TEXT             NOT NULL
);
CREATE UNIQUE INDEX alarm_event_number ON alarm_event (farm, number);
CREATE INDEX alarm_event_time ON alarm_event (farm, time, number);
CREATE INDEX alarm_event_alarm ON alarm_event (farm, tank, cause, number);

-- What a person said of an occurrence of an alarm afterwards. The latest one holds.
CREATE TABLE alarm_verdict (
  id          TEXT     NOT NULL PRIMARY KEY,
  farm        TEXT     NOT NULL,
  tank        TEXT     NOT NULL,
  cause       TEXT     NOT NULL,
  since       BIGINT   NOT NULL,
  time        BIGINT   NOT NULL,
  was_true    SMALLINT NOT NULL,
  by_whom     TEXT     NOT NULL
);
CREATE INDEX alarm_verdict_alarm ON alarm_verdict (farm, tank, cause, since);

-- Stretches of which events are missing, so that nobody takes them for quiet.
CREATE TABLE alarm_gap (
  id          TEXT    NOT NULL PRIMARY KEY,
  farm        TEXT    NOT NULL,
  first_time  BIGINT  NOT NULL,
  last_time   BIGINT  NOT NULL,
  events      INTEGER NOT NULL
);
CREATE INDEX alarm_gap_time ON alarm_gap (farm, first_time);
