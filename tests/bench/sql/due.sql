-- The rows that `due` needs: the open batches, and every entry that speaks of one of them.
SELECT open_batch.batch, left_here, entry.number, entry.kind, entry.happened_at, entry.body
  FROM open_batch JOIN mention ON mention.id = open_batch.batch AND mention.struck = 0
  JOIN entry ON entry.number = mention.entry ORDER BY open_batch.batch, entry.number;
