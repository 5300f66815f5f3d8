import { fileURLToPath } from 'node:url'
import react from '@vitejs/plugin-react'
import { defaultClientConditions, defineConfig } from 'vite'

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url))

/**
 * Staff at `/` with what opens both entries without a network; members at `/member/` in a build of their own, the mode `member`, added to
 * the first: a phone then loads nothing that only the staff need. For tests, the mode `gallery` builds the page of all parts.
 */
const ENTRIES = { staff: here('./index.html'), worker: here('./outbox/worker.ts') }
const OF_MODE: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  gallery: { gallery: here('./gallery/index.html') },
  member: { member: here('./member/index.html') },
}

const API_IN_DEVELOPMENT = 'http://127.0.0.1:8080'

export default defineConfig(({ mode }) => ({
  root: here('.'),
  plugins: [react()],
  // `#core/...` and `#contract/...` are read from the TypeScript sources.
  resolve: { conditions: ['kinu-source', ...defaultClientConditions] },
  build: {
    outDir: here('./dist'),
    emptyOutDir: mode !== 'member',
    // what it stands in for only makes an old browser's first page quicker
    modulePreload: { polyfill: false },
    // no file inside another: the content security policy allows our own files only
    assetsInlineLimit: 0,
    // the staff console carries its component library; the member's entry is measured by the check
    chunkSizeWarningLimit: 2000,
    rolldownOptions: {
      input: OF_MODE[mode] ?? ENTRIES,
      // the worker is asked for by its name, and sees the pages only from the top
      output: { entryFileNames: ({ name }) => (name === 'worker' ? 'worker.js' : 'assets/[name]-[hash].js') },
    },
  },
  server: { proxy: { '/api': { target: API_IN_DEVELOPMENT } } },
}))
