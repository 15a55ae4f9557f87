//! Which wire goes where: the one table from which the firmware takes its pins and the builder's guide its wiring.
//!
//! `wires!(then)` hands the table to the macro `then`. A signal's row: its name in the firmware, the RP2040's pin, the part
//! it goes to, and what that part calls it. A supply's row: the part, its mark, and the pin of the board's edge, 1 to 40
//! (from there a signal's own place on the edge follows).
//!
//! Keys stand on five pins in a row around a ground pin; the memory is on the first I2C bus and the display on the first
//! SPI bus, both beside a ground pin, and so is the buzzer. The pins 0 and 1 stay free for a serial console, 25 is the board's own light.

macro_rules! wires {
    ($then:ident) => {
        $then! {
            signals {
                buzzer PIN_2 Buzzer "+";
                memory_data PIN_4 Memory "SDA";
                memory_clock PIN_5 Memory "SCL";
                key_up PIN_10 Keys "up";
                key_down PIN_11 Keys "down";
                key_left PIN_12 Keys "left";
                key_right PIN_13 Keys "right";
                key_centre PIN_14 Keys "centre";
                display_select PIN_17 Display "CS";
                display_clock PIN_18 Display "CLK";
                display_data PIN_19 Display "MOSI";
                display_command PIN_20 Display "D/C";
                display_reset PIN_21 Display "RES";
            }
            supplies {
                Buzzer "-" 3;
                Memory "GND" 8;
                Keys "GND" 18;
                Display "GND" 23;
                Display "VCC" 36;
                Memory "VCC" 36;
            }
        }
    };
}
