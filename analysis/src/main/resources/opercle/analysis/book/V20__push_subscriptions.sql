-- Browsers that take notices. Unlike the rest of the book, rows are removed: an address by which a
-- device can be called is not kept for longer than it is used.
CREATE TABLE push_subscription (
  endpoint TEXT NOT NULL PRIMARY KEY, -- where its push service takes messages for it
  p256dh   TEXT NOT NULL,             -- its public key, base64url
  auth     TEXT NOT NULL,             -- its secret, base64url
  person   TEXT NOT NULL,             -- whose device it is
  since    BIGINT NOT NULL            -- microseconds since 1970
);
