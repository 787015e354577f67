import { memoryStore } from "./memoryStore.ts";
import { storeCases } from "./store.cases.ts";

storeCases("memory", async () => {
  const store = memoryStore();
  return { store, put: store.put, remove: async (name) => store.remove(name) };
});
