-- Who may see and change what. Unlike the rest of the book, rows are changed and removed: a secret
-- is not kept for longer than it is used. No password, session or token stands here, only hashes.
CREATE TABLE access_user (
  name_key TEXT NOT NULL PRIMARY KEY, -- the name in small letters, so that it is there once
  name     TEXT NOT NULL,
  role     TEXT NOT NULL,             -- look, keep or manage
  password TEXT NOT NULL,             -- Argon2id (RFC 9106), with its parameters and salt
  stamp    TEXT NOT NULL,             -- another after each change that ends the sessions
  since    BIGINT NOT NULL            -- microseconds since 1970
);
CREATE TABLE access_session (
  hash     TEXT NOT NULL PRIMARY KEY, -- SHA-256 of what the browser holds
  name_key TEXT NOT NULL,
  stamp    TEXT NOT NULL,             -- the user's when it began; another one ends it
  since    BIGINT NOT NULL,
  seen     BIGINT NOT NULL            -- when it was used last, to some minutes
);
CREATE TABLE access_token (
  id      TEXT NOT NULL PRIMARY KEY,  -- to name it by; no secret
  hash    TEXT NOT NULL UNIQUE,       -- SHA-256 of what the program holds
  name    TEXT NOT NULL,              -- what it is for
  role    TEXT NOT NULL,
  made_by TEXT NOT NULL,
  since   BIGINT NOT NULL,
  used    BIGINT                      -- when it was used last, to some minutes
);
