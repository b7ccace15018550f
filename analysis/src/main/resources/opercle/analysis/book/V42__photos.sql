-- Pictures that go with what somebody wrote down, at most one each. Times are microseconds since
-- 1970. Rows are added, never changed.
CREATE TABLE photo (
  about     TEXT     NOT NULL PRIMARY KEY, -- the id of the entry of a trip, or of the records
  farm      TEXT     NOT NULL,
  time      BIGINT   NOT NULL,             -- when it came in
  by_whom   TEXT     NOT NULL,
  sent      TEXT     NOT NULL,             -- SHA-256 of what was sent: the same again is no news
  jpeg      BYTEA    NOT NULL               -- drawn anew here, without what cameras write into files
);
