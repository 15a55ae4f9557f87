//! What the display shows, read from what QEMU saves of it.

use std::path::Path;

/// The display's pixels in a row.
pub const WIDTH: usize = 128;

/// The display's rows.
pub const HEIGHT: usize = 64;

/// The display's pixels, from dark (0) to bright (255), row by row.
#[derive(Clone, PartialEq, Eq)]
pub struct Picture(Vec<u8>);

impl Picture {
    /// Of pixels that were read, row by row.
    pub(super) const fn of_pixels(pixels: Vec<u8>) -> Self {
        Self(pixels)
    }

    /// Reads a portable pixmap (P6) of the display, which QEMU enlarges by a whole factor.
    #[must_use]
    pub fn from_pixmap(bytes: &[u8]) -> Option<Self> {
        let mut words = bytes.split(u8::is_ascii_whitespace).filter(|word| !word.is_empty());
        let mut word = || words.next().and_then(|word| std::str::from_utf8(word).ok());
        let number = |word: Option<&str>| word.and_then(|word| word.parse::<usize>().ok());
        if word() != Some("P6") {
            return None;
        }
        let (width, height) = (number(word())?, number(word())?);
        let pixels = bytes.get(bytes.len().checked_sub(width * height * 3)?..)?;
        Self::sampled(width, height, |at| pixels.get(3 * at + 1).copied())
    }

    /// Reads a picture in PNG, grey or coloured, 8 bits a channel.
    #[must_use]
    pub fn load(path: &Path) -> Option<Self> {
        let file = std::io::BufReader::new(std::fs::File::open(path).ok()?);
        let mut reader = png::Decoder::new(file).read_info().ok()?;
        let mut bytes = vec![0; reader.output_buffer_size()?];
        let info = reader.next_frame(&mut bytes).ok()?;
        let channels = info.color_type.samples();
        // Grey is the first channel of one or two, and the second of three or four is as good as any.
        let channel = usize::from(channels >= 3);
        let (width, height) = (info.width as usize, info.height as usize);
        Self::sampled(width, height, |at| bytes.get(channels * at + channel).copied())
    }

    /// The middle of each enlarged pixel.
    fn sampled(width: usize, height: usize, pixel: impl Fn(usize) -> Option<u8>) -> Option<Self> {
        let times = width / WIDTH;
        if times == 0 || (times * WIDTH, times * HEIGHT) != (width, height) {
            return None;
        }
        let middle = |at: usize| at * times + times / 2;
        let places = (0..HEIGHT).flat_map(|y| (0..WIDTH).map(move |x| middle(y) * width + middle(x)));
        places.map(pixel).collect::<Option<Vec<u8>>>().map(Self)
    }

    /// Of which pixels are lit, by column and row.
    #[must_use]
    pub fn of(lit: impl Fn(usize, usize) -> bool) -> Self {
        let places = (0..HEIGHT).flat_map(|y| (0..WIDTH).map(move |x| (x, y)));
        Self(places.map(|(x, y)| if lit(x, y) { u8::MAX } else { 0 }).collect())
    }

    /// With all that is lit as bright as can be, and the rest dark.
    #[must_use]
    pub fn in_two(&self) -> Self {
        Self::of(|x, y| self.is_lit(x, y))
    }

    /// The brightness at a place; dark outside.
    #[must_use]
    pub fn at(&self, x: usize, y: usize) -> u8 {
        if x < WIDTH { self.0.get(y * WIDTH + x).copied().unwrap_or(0) } else { 0 }
    }

    /// How many pixels differ.
    #[must_use]
    pub fn differs(&self, other: &Self) -> usize {
        self.0.iter().zip(&other.0).filter(|(one, other)| one != other).count()
    }

    /// How many pixels are lit.
    #[must_use]
    pub fn lit(&self) -> usize {
        self.0.iter().filter(|pixel| **pixel > 0).count()
    }

    /// Braille signs, 64 in each of 16 rows: a picture that fits any terminal.
    #[must_use]
    pub fn braille(&self) -> String {
        /// The dots of a sign, from the upper left downwards, then the right side.
        const DOTS: [[u32; 4]; 2] = [[0x01, 0x02, 0x04, 0x40], [0x08, 0x10, 0x20, 0x80]];
        self.cells(2, 4, |x, y| {
            let dots = (0..2).flat_map(|dx| (0..4).map(move |dy| (dx, dy)));
            let lit = dots.filter(|(dx, dy)| self.is_lit(x + dx, y + dy));
            char::from_u32(0x2800 + lit.map(|(dx, dy)| DOTS[dx][dy]).sum::<u32>()).unwrap_or(' ')
        })
    }

    /// Half blocks, 128 in each of 32 rows: each pixel a half of a sign.
    #[must_use]
    pub fn halves(&self) -> String {
        self.cells(1, 2, |x, y| match (self.is_lit(x, y), self.is_lit(x, y + 1)) {
            (true, true) => '█',
            (true, false) => '▀',
            (false, true) => '▄',
            (false, false) => ' ',
        })
    }

    fn is_lit(&self, x: usize, y: usize) -> bool {
        self.at(x, y) >= 0x40
    }

    fn cells(&self, width: usize, height: usize, cell: impl Fn(usize, usize) -> char) -> String {
        let row = |y: usize| (0..WIDTH).step_by(width).map(|x| cell(x, y)).chain(['\n']).collect::<String>();
        (0..HEIGHT).step_by(height).map(row).collect()
    }
}

impl std::fmt::Debug for Picture {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "\n{}", self.braille())
    }
}
