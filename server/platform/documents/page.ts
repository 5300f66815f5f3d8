import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import PDFDocument from 'pdfkit'
import { sfntOf } from './woff.js'

export type Pdf = InstanceType<typeof PDFDocument>

/** Millimetres as points (1/72 inch). */
export const mm = (value: number): number => (value * 72) / 25.4

/** A4 portrait; the punched side is the left one. */
export const PAGE = { widthMm: 210, heightMm: 297, leftMm: 20, rightMm: 14, topMm: 14, bottomMm: 14, contentMm: 176 } as const

const resolve = createRequire(import.meta.url).resolve
const font = (weight: 400 | 700): Buffer => sfntOf(readFileSync(resolve(`@fontsource/andika/files/andika-latin-${weight}-normal.woff`)))
let fonts: { regular: Buffer; bold: Buffer } | undefined

/** Andika (OFL) is drawn for new readers; its digits are of equal width, so figures stand under each other. */
const loadFonts = () => (fonts ??= { regular: font(400), bold: font(700) })

export type DocumentFacts = { readonly title: string; readonly author: string; readonly language: 'en' | 'sw'; readonly at: Date }

/** A new document without pages: A4 portrait, black, Andika in two weights, nothing placed by pdfkit's own flow. */
export const openDocument = ({ title, author, language, at }: DocumentFacts): Pdf => {
  const doc = new PDFDocument({
    size: 'A4',
    margin: 0,
    autoFirstPage: false,
    lang: language,
    displayTitle: true,
    info: { Title: title, Author: author, CreationDate: at, ModDate: at },
  })
  const { regular, bold } = loadFonts()
  doc.registerFont('regular', regular)
  doc.registerFont('bold', bold)
  return doc
}

/** Ends the document and gives it whole. */
export const bytesOf = (doc: Pdf): Promise<Uint8Array> =>
  new Promise((done, fail) => {
    const parts: Buffer[] = []
    doc.on('data', (part: Buffer) => parts.push(part))
    doc.on('end', () => done(Buffer.concat(parts)))
    doc.on('error', fail)
    doc.end()
  })
