import { PICTOGRAM_NAMES, type PictogramName } from '#core/pictogram/paths'
import { useStaffWords } from '../../i18n/words'
import { Pictogram } from '../../ui/Shape'

type Named = { readonly id: string; readonly nameEn: string; readonly nameSw: string }

/** The name an ingredient is kept under, the same on screen and on the batch sheet; other words for it only help to find it. */
export const useIngredientName = (): ((named: Named) => string) => {
  const { language } = useStaffWords()
  return ({ nameEn, nameSw }) => (language === 'en' ? nameEn : nameSw)
}

type LotNames = { readonly ingredientId: string; readonly ingredientNameEn: string; readonly ingredientNameSw: string }
export const ingredientOf = ({ ingredientId, ingredientNameEn, ingredientNameSw }: LotNames): Named => ({
  id: ingredientId,
  nameEn: ingredientNameEn,
  nameSw: ingredientNameSw,
})

const pictogramOf = (name: string): PictogramName | undefined => PICTOGRAM_NAMES.find((known) => known === name)

/** The picture of an ingredient beside its name; the name stays, the picture alone carries no meaning yet. */
export const WithPicture = ({ pictogram, children, size = 24 }: { pictogram: string; children: string; size?: number }) => {
  const known = pictogramOf(pictogram)
  return (
    <span className="k-with-picture">
      {known && <Pictogram name={known} size={size} />}
      <span>{children}</span>
    </span>
  )
}
