/** Loaded into the server by soak-editor.mjs: says how much memory is in use once all garbage is gone. */
process.on('message', () => {
  const { rss } = process.memoryUsage();
  globalThis.gc();
  process.send({ rss, live: process.memoryUsage().heapUsed });
});
process.channel.unref();
