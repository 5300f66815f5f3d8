import { fileURLToPath } from 'node:url'
import react from '@vitejs/plugin-react'
import { defaultClientConditions, defineConfig } from 'vite'

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url))

/** Two entries of one build: staff at `/`, members at `/member/`. For tests, the mode `gallery` builds the page of all parts instead, `member` the members' entry alone. */
const ENTRIES = { staff: here('./index.html'), member: here('./member/index.html') }
const OF_MODE: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  gallery: { gallery: here('./gallery/index.html') },
  member: { member: ENTRIES.member },
}

const API_IN_DEVELOPMENT = 'http://127.0.0.1:8080'

export default defineConfig(({ mode }) => ({
  root: here('.'),
  plugins: [react()],
  // `#core/...` and `#contract/...` are read from the TypeScript sources.
  resolve: { conditions: ['kinu-source', ...defaultClientConditions] },
  build: {
    outDir: here('./dist'),
    emptyOutDir: true,
    // no file inside another: the content security policy allows our own files only
    assetsInlineLimit: 0,
    // the staff console carries its component library; the member's entry is measured by the check
    chunkSizeWarningLimit: 2000,
    rolldownOptions: { input: OF_MODE[mode] ?? ENTRIES },
  },
  server: { proxy: { '/api': { target: API_IN_DEVELOPMENT } } },
}))
