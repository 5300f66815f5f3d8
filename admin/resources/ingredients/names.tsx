import { PICTOGRAM_NAMES, type PictogramName } from '#core/pictogram/paths'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { Pictogram } from '../../ui/Shape'

type Named = { readonly id: string; readonly nameEn: string; readonly nameSw: string }

/** The everyday name of an ingredient: the mill's word list first, else the name it is kept under. */
export const useIngredientName = (): ((named: Named) => string) => {
  const { t, language } = useStaffWords()
  return ({ id, nameEn, nameSw }) => {
    const key = `ingredient.${id}`
    const words = t(key as StaffKey)
    return words === key ? (language === 'en' ? nameEn : nameSw) : words
  }
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
